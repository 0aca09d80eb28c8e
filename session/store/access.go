package store

import (
	"encoding/json"
	"time"

	"rodcall/session"
)

// The keys of the bucket access, and the beginnings of those that name
// somebody.
var (
	keyOwner = []byte("owner")
	keyClaim = []byte("claim")
)

const (
	underLet    = "let"
	underOpen   = "open"
	underInvite = "invite"
)

// Door is what became of a message at the door, with what it is about.
type Door struct {
	session.Admission
	Platform string // id of the person
	Group    string // key of the chat without its topic
	Code     string // that the message holds, "" for none
	Fresh    string // the invitation that is one from now on, if any
}

// entry says when somebody was let in, or an invitation made, and by whom.
type entry struct {
	At time.Time `json:"at"`
	By string    `json:"by,omitempty"` // platform id
}

// Access is what the file knows of a person, a chat (its key without a topic)
// and a code; "" for none of these.
func (t *Tx) Access(platform, group, code string) session.Access {
	b := t.bucket(bucketAccess)
	a := session.Access{
		Owner: platform != "" && string(b.Get(keyOwner)) == platform,
		Let:   b.Get(under(underLet, []byte(platform))) != nil,
		Open:  b.Get(under(underOpen, []byte(group))) != nil,
	}
	switch {
	case code == "":
	case string(b.Get(keyClaim)) == code:
		a.Code = session.CodeClaim
	case b.Get(under(underInvite, []byte(code))) != nil:
		a.Code = session.CodeInvite
	default:
		a.Code = session.CodeSpent
	}
	return a
}

// Claim is the code that makes its sender the owner; "" where there is none,
// or none any more.
func (t *Tx) Claim() string { return string(t.bucket(bucketAccess).Get(keyClaim)) }

// Owned says whether the bot has an owner.
func (t *Tx) Owned() bool { return t.bucket(bucketAccess).Get(keyOwner) != nil }

// SetClaim sets the code that makes its sender the owner.
func (t *Tx) SetClaim(code string) error { return t.bucket(bucketAccess).Put(keyClaim, []byte(code)) }

// admit notes what was decided at the door.
func (t *Tx) admit(d Door, at time.Time) error {
	b := t.bucket(bucketAccess)
	j, err := json.Marshal(entry{At: at.UTC(), By: d.Platform})
	if err != nil {
		return err
	}
	put := func(on bool, key, value []byte) {
		if on && err == nil {
			err = b.Put(key, value)
		}
	}
	put(d.Owner, keyOwner, []byte(d.Platform))
	put(d.Let, under(underLet, []byte(d.Platform)), j)
	put(d.Open, under(underOpen, []byte(d.Group)), j)
	put(d.Invite, under(underInvite, []byte(d.Fresh)), j)
	switch {
	case err != nil || !d.Spend:
	case d.Owner:
		err = b.Delete(keyClaim)
	default:
		err = b.Delete(under(underInvite, []byte(d.Code)))
	}
	return err
}

// TurnAway takes an update out of the inbox that is not for Hear, notes what
// was decided at the door, and puts the replies of the door into the outbox.
// Nothing else is kept of the message or of who sent it.
func (t *Tx) TurnAway(inbox uint64, chat string, d Door, made time.Time) ([]uint64, error) {
	if !t.waits(inbox) {
		return nil, &GoneError{inbox}
	}
	for what, key := range map[string]string{"chat key": chat, "platform id of a person": d.Platform} {
		if err := checkKey(what, key); err != nil {
			return nil, &RefusedError{inbox, err}
		}
	}
	if err := t.bucket(bucketInbox).Delete(number(inbox)); err != nil {
		return nil, err
	}
	if err := t.admit(d, made); err != nil {
		return nil, err
	}
	var rows []uint64
	for _, r := range d.Replies {
		seq, err := t.say(chat, r, made)
		if err != nil {
			return nil, err
		}
		rows = append(rows, seq)
	}
	return rows, nil
}

// say puts a reply to nobody's message at the end of the outbox.
func (t *Tx) say(chat string, r session.Reply, made time.Time) (seq uint64, err error) {
	row := Row{Chat: chat, Reply: r, Made: made.UTC()}
	b, err := json.Marshal(row)
	if err != nil {
		return 0, err
	}
	return t.enqueue(row, b)
}
