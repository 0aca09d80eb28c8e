package bot_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/store"
)

// TestForgottenIsAStranger: who is forgotten has to be let in again, finds nothing
// of theirs in the private chat, and is somebody new; what they read in a group
// stays, by somebody.
func TestForgottenIsAStranger(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, annChat := r.owner("ann")
	bob := r.srv.User("quentin")
	bobChat := r.srv.Private(bob)
	invite := func() string {
		t.Helper()
		m := startLink.FindStringSubmatch(r.say(annChat, ann, "/invite"))
		if m == nil {
			t.Fatal("no invitation")
		}
		return m[1]
	}
	r.say(bobChat, bob, "/start "+invite())
	r.say(bobChat, bob, "new Own house")
	crew := r.srv.Group("crew", ann, bob)
	r.settle()
	for _, text := range []string{"/new Crew house", "/40x28", "/direct rod", "/0"} {
		r.say(crew, bob, text)
	}
	number := func() (id session.PersonID) {
		t.Helper()
		err := r.file.View(func(tx *store.Tx) error {
			all, err := tx.People()
			for _, p := range all {
				if p.Name == "quentin" {
					id = p.ID
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	was := number()
	if was == 0 {
		t.Fatal("nobody is called quentin")
	}
	r.stop()
	gone, err := store.Forget(r.db, was)
	if err != nil || gone.Jobs != 1 || gone.Owner {
		t.Fatalf("%+v, %v", gone, err)
	}
	whole, err := os.ReadFile(r.db)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(whole, []byte("quentin")) {
		t.Error("the name is in the file")
	}
	r.start()
	if got := r.say(bobChat, bob, "jobs"); !strings.Contains(got, "belongs to a crew") {
		t.Errorf("who was forgotten is told %q", got)
	}
	r.say(bobChat, bob, "/start "+invite())
	if got := r.say(bobChat, bob, "jobs"); strings.Contains(got, "Own house") {
		t.Errorf("who was forgotten finds %q", got)
	}
	if now := number(); now <= was {
		t.Errorf("they were number %d, and are number %d", was, now)
	}
	if got := r.say(crew, ann, "/summary"); !strings.Contains(got, "Crew house: 1 of 34 stations read") {
		t.Errorf("what they read is gone: %q", got)
	}
	if _, err := r.file.Check(func(f store.Fault) { t.Errorf("a fault: %v", f) }); err != nil {
		t.Fatal(err)
	}
	r.noFaults()
}
