package engine

import (
	"crypto/rand"
	"sync"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

// atDoor decides whether a message is for Hear. Where the message holds a
// code, e.codes is held when it returns a door: one code lets one person in,
// and two may send it at once.
func (e *Engine) atDoor(in *Incoming, m *session.Message) (*store.Door, error) {
	d := &store.Door{Platform: in.PersonPlatformID, Group: in.group(), Code: session.CodeIn(*m)}
	if d.Code != "" {
		e.codes.Lock()
	}
	var a session.Access
	err := e.cfg.Store.View(func(tx *store.Tx) error {
		a = tx.Access(d.Platform, d.Group, d.Code)
		return e.speaks(tx, in, &a)
	})
	if err != nil {
		return d, err
	}
	a.Invite, a.Link, a.GroupLink = NewCode(), e.cfg.Links.Person, e.cfg.Links.Group
	a.Told = e.told.lately(in.PersonPlatformID, e.cfg.Now())
	d.Admission = session.Admit(a, *m)
	switch {
	case d.Invite:
		d.Fresh = a.Invite
	case d.Hear && d.Code != "":
		m.Text = "start" // the code has had its say
	case !d.Hear && len(d.Replies) > 0 && !d.Let && !a.Owner && !a.Let:
		e.told.note(in.PersonPlatformID, e.cfg.Now())
	}
	return d, nil
}

// speaks looks up which language somebody is to be answered in, where they were
// heard here before.
func (e *Engine) speaks(tx *store.Tx, in *Incoming, a *session.Access) error {
	id := tx.PersonOf(in.PersonPlatformID)
	if id == 0 {
		return nil
	}
	t, err := e.talks.of(tx, in.Chat)
	if err != nil {
		return err
	}
	c, err := t.place(tx, id)
	a.Person, a.Job = c.Lang, t.chat.Lang()
	return err
}

// NewCode is a code that nobody can guess: 130 random bits, in letters and
// digits.
func NewCode() string { return rand.Text() }

// rights finds out what a person may do in a chat.
func (e *Engine) rights(in *Incoming) session.Rights {
	r, ok := e.cfg.Port.(Registry)
	if !ok {
		return session.RightsFree
	}
	return r.Rights(e.sendCtx, in.group(), in.PersonPlatformID)
}

const (
	// toldFor is how long a stranger is not told again.
	toldFor = 24 * time.Hour
	// maxTold bounds what is remembered of strangers.
	maxTold = 4096
)

// told remembers the strangers who were turned away, and forgets them with the
// process: a file that strangers can fill is no good.
type told struct {
	mu   sync.Mutex
	when map[string]time.Time
}

func (t *told) lately(person string, now time.Time) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	at, ok := t.when[person]
	return ok && now.Sub(at).Abs() < toldFor // a clock may have been set back since
}

func (t *told) note(person string, now time.Time) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.when == nil || len(t.when) >= maxTold {
		t.when = map[string]time.Time{}
	}
	t.when[person] = now
}
