package engine

import (
	"errors"
	"strings"
	"testing"

	"rodcall/session/store"
)

// discreet is a toy that knows a secret.
type discreet struct{ *toy }

func (discreet) Hide(text string) string { return strings.ReplaceAll(text, "sesame", "?") }

// What is put aside, a message or a reply, is kept with a reason that holds no secret.
func TestReasonsHideSecrets(t *testing.T) {
	s, p := newStore(t), &toy{}
	p.send = func(Delivery) error { return &PermanentError{errors.New("Post /sesame: refused")} }
	p.fails = errors.New("not this: sesame")
	e := start(t, Config{Store: s, Port: discreet{p}, Hear: echo})
	receive(t, e, said(1, "a", "ann", "one"), Update{ID: 2, Raw: []byte("fails")})
	settle(t, e)
	view(t, s, func(tx *store.Tx) error {
		dead, err := tx.Dead(9)
		if len(dead) != 1 || dead[0].Why != "not this: ?" {
			t.Errorf("dead letters %+v", dead)
		}
		parked, perr := tx.Parked(9)
		if len(parked) != 1 || parked[0].Why != "send: cannot be sent: Post /?: refused" {
			t.Errorf("parked %+v", parked)
		}
		return errors.Join(err, perr)
	})
}
