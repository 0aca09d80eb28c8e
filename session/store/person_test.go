package store

import (
	"testing"

	"pgregory.net/rapid"

	"rodcall/session"
)

// TestGlance: what is found at a glance is what decoding finds, whatever texts the
// event holds.
func TestGlance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{`","by":7,"kind":"x"`, `,"by":7,`, `\",\"kind\":\"`}))
		e := session.Event{
			Seq: rapid.Uint64().Draw(t, "seq"), At: noon, By: session.PersonID(rapid.Int64().Draw(t, "by")), Message: text.Draw(t, "message"),
			Body: rapid.SampledFrom([]session.Body{
				session.Opened{Job: "j1", Chat: text.Draw(t, "chat"), Name: text.Draw(t, "name")},
				session.Read{Round: 1, Rod: 1, Said: text.Draw(t, "said")}, session.Noted{Text: text.Draw(t, "note")},
			}).Draw(t, "body"),
		}
		stored, err := session.Encode(e, session.Hash{})
		if err != nil {
			t.Fatal(err)
		}
		if by, kind, err := glance(stored); by != e.By || kind != session.KindOf(e.Body) || err != nil {
			t.Fatalf("%s: %d, %q, %v", stored, by, kind, err)
		}
	})
	for _, stored := range []string{"", "{}", `{"by":1}`, `{"v":1,"by":x,"kind":"read"}`} {
		if by, kind, err := glance([]byte(stored)); err == nil {
			t.Errorf("%s: %d, %q", stored, by, kind)
		}
	}
}
