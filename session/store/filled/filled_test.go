package filled_test

import (
	"path/filepath"
	"testing"

	"rodcall/session"
	"rodcall/session/store"
	"rodcall/session/store/filled"
)

// TestJobs: what is put into a file is what a file holds: sound, and signed.
func TestJobs(t *testing.T) {
	s, err := store.Open(filepath.Join(t.TempDir(), "file.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	if err := filled.Jobs(s, 620, nil); err != nil {
		t.Fatal(err)
	}
	c, err := s.Check(func(f store.Fault) { t.Error(f) })
	if err != nil || c.Jobs != 620 || c.Chats != 620 || c.People != 620 || c.Inbox != 0 {
		t.Errorf("%+v, %v", c, err)
	}
	err = s.View(func(tx *store.Tx) error {
		j, err := tx.Job("old619")
		if err == nil && j.State() != session.StateSigned {
			t.Errorf("the last is in state %s", j.State())
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}
