package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"

	"rodcall/session"
)

// Forgot is what was taken out of a file with a person.
type Forgot struct {
	Jobs  int // of the chat with them: nobody can go on with these in a chat
	Rows  int // replies and messages that waited, or could not be sent or heard
	Owner bool
}

// SharedError says that a number is not one person's: others talk in the chat
// that has its platform id.
type SharedError struct{ ID session.PersonID }

func (e *SharedError) Error() string {
	return fmt.Sprintf("number %d is no person: it is the administrators of a group who stay anonymous", e.ID)
}

// Forget takes a person out of a file that nobody uses: the name, the platform's
// id, their places in chats, whether they were let in, and all of the chat with
// them that waits or could not be done. The number stays in the logs, with what
// they read, said and kept, and so does the key of that chat in the first event of
// the jobs opened there. What was taken out is not left behind in free pages: the
// file is written anew. The error is a *BusyError, a *NoPersonError or a
// *SharedError where nothing was changed.
func Forget(path string, id session.PersonID) (f Forgot, err error) {
	if _, err := os.Stat(path); err != nil {
		return f, fmt.Errorf("open %s: %w", path, err)
	}
	s, err := Open(path, Options{})
	if err != nil {
		return f, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	err = s.Update(func(t *Tx) error {
		p, ok, err := t.Person(id)
		if err != nil || !ok {
			return errors.Join(err, missing(ok, id))
		}
		f, err = t.forget(p)
		return err
	})
	if err != nil {
		return f, err
	}
	return f, s.squeeze()
}

// squeeze writes the file anew without its free pages, in its place. The store is
// to be closed then: it has the old one.
func (s *Store) squeeze() (err error) {
	f, err := os.CreateTemp(filepath.Dir(s.path), ".rodcall-*")
	if err != nil {
		return err
	}
	part := f.Name()
	defer func() {
		if err != nil {
			err = errors.Join(fmt.Errorf("write %s anew: %w", s.path, err), os.Remove(part))
		}
	}()
	if err := f.Close(); err != nil {
		return err
	}
	to, err := bbolt.Open(part, 0o600, &bbolt.Options{FreelistType: bbolt.FreelistMapType, NoStatistics: true})
	if err != nil {
		return err
	}
	const step = 16 << 20 // bytes of a transaction
	if err := errors.Join(bbolt.Compact(to, s.db, step), to.Sync(), to.Close()); err != nil {
		return err
	}
	if err := os.Rename(part, s.path); err != nil {
		return err
	}
	syncFolder(s.path)
	return nil
}

func (t *Tx) forget(p Person) (f Forgot, err error) {
	if p.Platform == "" {
		return f, nil // done before
	}
	own := p.own()
	if err := t.forgetTalks(p, own); err != nil {
		return f, err
	}
	if f.Jobs, err = t.forgetChats(own); err != nil {
		return f, err
	}
	if f.Rows, err = t.forgetReplies(p, own); err != nil {
		return f, err
	}
	if _, err = t.sift(bucketLive, func(k, v []byte) ([]byte, error) {
		if chat, _, _ := bytes.Cut(k, []byte{0}); own(string(chat)) {
			return nil, nil
		}
		return v, nil
	}); err != nil {
		return f, err
	}
	for _, part := range [][]byte{bucketSent, bucketHeard} {
		if _, err := t.sift(part, func(k, v []byte) ([]byte, error) {
			if chat, _, _ := bytes.Cut(k[min(8, len(k)):], []byte{0}); own(string(chat)) {
				return nil, nil
			}
			return v, nil
		}); err != nil {
			return f, err
		}
	}
	n, err := t.forgetLetters(p)
	if f.Rows += n; err != nil {
		return f, err
	}
	if f.Owner, err = t.forgetAccess(p); err != nil {
		return f, err
	}
	if cursor := t.Cursor(); cursor != nil {
		if clean, _ := p.blank(cursor); clean != nil {
			if err := t.bucket(bucketMeta).Put(keyCursor, clean); err != nil {
				return f, err
			}
		}
	}
	if err := t.bucket(bucketPlatform).Delete([]byte(p.Platform)); err != nil {
		return f, err
	}
	// The row stays, for the number must never be somebody else's.
	return f, save(t.bucket(bucketPeople), number(uint64(p.ID)), Person{})
}

// sift gives each row of a part what becomes of it, nil for nothing, and counts
// those taken out.
func (t *Tx) sift(part []byte, what func(k, v []byte) ([]byte, error)) (gone int, err error) {
	b := t.bucket(part)
	if b == nil {
		return 0, nil
	}
	changed := map[string][]byte{} // a bucket must not change while it is walked
	err = b.ForEach(func(k, v []byte) error {
		now, err := what(k, v)
		if err != nil {
			return fmt.Errorf("%s, row %q: %w", part, k, err)
		}
		if now == nil || !bytes.Equal(now, v) {
			changed[string(k)] = now
		}
		return nil
	})
	if err != nil {
		return 0, err
	}
	for k, now := range changed {
		if now == nil {
			gone++
			err = b.Delete([]byte(k))
		} else {
			err = b.Put([]byte(k), now)
		}
		if err != nil {
			return gone, err
		}
	}
	return gone, nil
}

// forgetReplies takes out what waits to be sent to a person's own chats, or could
// not be.
func (t *Tx) forgetReplies(p Person, own func(string) bool) (gone int, err error) {
	gone, err = t.sift(bucketOutbox, func(_, v []byte) ([]byte, error) {
		var r Row
		if err := json.Unmarshal(v, &r); err != nil || !own(r.Chat) {
			return v, err
		}
		return nil, nil
	})
	if err != nil {
		return gone, err
	}
	parked, err := t.sift(bucketParked, func(_, v []byte) ([]byte, error) {
		var r Parked
		if err := json.Unmarshal(v, &r); err != nil || own(r.Chat) {
			return nil, err
		}
		why := p.unnamed(r.Why)
		if why == r.Why {
			return v, nil
		}
		r.Why = why
		return json.Marshal(r)
	})
	return gone + parked, err
}

// forgetTalks takes a person's places in chats out. Where somebody else has a
// place in their own chat, it is a group, and the person its anonymous
// administrators.
func (t *Tx) forgetTalks(p Person, own func(string) bool) error {
	_, err := t.sift(bucketTalk, func(k, v []byte) ([]byte, error) {
		chat, _, _ := bytes.Cut(k, []byte{0})
		switch who := talkOf(k); {
		case who == p.ID:
			return nil, nil
		case who != 0 && own(string(chat)):
			return nil, &SharedError{p.ID}
		}
		return v, nil
	})
	if err == nil && t.bucket(bucketAccess).Get(under(underOpen, []byte(p.Platform))) != nil {
		err = &SharedError{p.ID}
	}
	return err
}

// forgetChats takes the chats out that are a person's own. Their jobs stay, and
// are of no chat.
func (t *Tx) forgetChats(own func(string) bool) (jobs int, err error) {
	if _, err = t.sift(bucketChat, func(k, v []byte) ([]byte, error) {
		if own(string(k)) {
			return nil, nil
		}
		return v, nil
	}); err != nil {
		return 0, err
	}
	_, err = t.sift(bucketHeader, func(_, v []byte) ([]byte, error) {
		var h Header
		if err := json.Unmarshal(v, &h); err != nil || !own(h.Chat) {
			return v, err
		}
		h.Chat = ""
		jobs++
		return json.Marshal(h)
	})
	return jobs, err
}

// forgetLetters takes a person's updates out that wait or could not be heard, and
// the person out of those of others.
func (t *Tx) forgetLetters(p Person) (gone int, err error) {
	gone, err = t.sift(bucketInbox, func(k, v []byte) ([]byte, error) {
		clean, wrote := p.blank(letter(k, v).Raw)
		if wrote {
			return nil, nil
		}
		return append(bytes.Clone(v[:8]), clean...), nil
	})
	if err != nil {
		return gone, err
	}
	dead, err := t.sift(bucketDead, func(_, v []byte) ([]byte, error) {
		var d Dead
		if err := json.Unmarshal(v, &d); err != nil {
			return nil, err
		}
		clean, wrote := p.blank(d.Raw)
		if wrote {
			return nil, nil
		}
		why := p.unnamed(d.Why)
		if bytes.Equal(clean, d.Raw) && why == d.Why {
			return v, nil
		}
		d.Raw, d.Why = clean, why
		return json.Marshal(d)
	})
	return gone + dead, err
}

// forgetAccess takes out that a person owned the bot or was let in, and who let
// others in where it was them.
func (t *Tx) forgetAccess(p Person) (owner bool, err error) {
	_, err = t.sift(bucketAccess, func(k, v []byte) ([]byte, error) {
		switch {
		case bytes.Equal(k, keyOwner):
			if owner = string(v) == p.Platform; owner {
				return nil, nil
			}
			return v, nil
		case bytes.Equal(k, under(underLet, []byte(p.Platform))), bytes.Equal(k, under(underShut, []byte(p.Platform))):
			return nil, nil
		case !bytes.Contains(k, []byte{0}):
			return v, nil
		}
		var e entry
		if err := json.Unmarshal(v, &e); err != nil || e.By != p.Platform {
			return v, err
		}
		e.By = ""
		return json.Marshal(e)
	})
	return owner, err
}
