package session_test

import (
	"strings"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// TestSplitByWhenTaken: a reading that was sent before a bump and edited after
// it is about what the rod showed when it was first sent.
func TestSplitByWhenTaken(t *testing.T) {
	read := func(n int) session.Read {
		return session.Read{Round: 1, Rod: 1, Station: reduce.Corner(n), Said: "0"}
	}
	var events []session.Event
	for _, e := range []struct {
		message string
		body    session.Body
	}{
		{"1", session.Opened{Job: "j1", Chat: "crew", Name: "Lot 7"}},
		{"1", session.SetupOpened{Setup: 1}},
		{"2", session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: 1}},
		{"3", read(1)},
		{"4", read(2)}, // event 5: edited below
		{"5", read(3)}, // event 6: the first one after the bump
		{"4", session.Voided{Seqs: []uint64{5}, Why: "edit"}},
		{"4", read(2)},
		{"6", session.SetupSplit{Setup: 1, New: 2, After: 5, Rods: []session.RodSplit{{From: 1, To: 2}}}},
	} {
		events = append(events, session.Event{
			Seq: uint64(len(events) + 1), At: time.Unix(0, 0).UTC(), By: 1, Message: e.message, Line: 1, Body: e.body,
		})
	}
	job, err := session.Fold(events)
	if err != nil {
		t.Fatal(err)
	}
	want := map[uint64]int{4: 1, 5: 1, 6: 2, 8: 1}
	for _, r := range job.Readings() {
		if r.Rod != want[r.Seq] {
			t.Errorf("event %d belongs to rod %d, want %d", r.Seq, r.Rod, want[r.Seq])
		}
		delete(want, r.Seq)
	}
	if len(want) > 0 {
		t.Errorf("not listed: %v", want)
	}
}

// TestReferenceInDoubt: where a search that stopped leaves the reference to be
// read again, the two set-ups are joined to nothing that heights are from: it is
// said, and asked for first.
func TestReferenceInDoubt(t *testing.T) {
	tb := talk(t, []sent{{"new A", ""}, {"8x8 m", ""}, {"direct rod", ""}, {"bm 0", ""}, {"0", ""}, {"-12", ""}, {"-5", ""}, {"-6", ""}, {"-7", ""},
		{"bumped", ""}, {"bm 12 high", "Read c1+2 again"},
		{"0", "Set-up 2 begins here, joined by bm."}})
	wants(t, tb.last.Replies[0].Text, "Read again: c1, c1+1, c1+2, c1+3, c1+4\nc1 is not read yet: heights come once it is.\nNext: c1")
	// bm has its height said once, whichever rods read it.
	if said := tb.say("ann", "6 high"); strings.Count(said, "bm 6 mm high") != 1 || !strings.Contains(said, "Next: c1+1") {
		t.Error(said)
	}
}
