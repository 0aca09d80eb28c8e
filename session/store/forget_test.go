package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"go.etcd.io/bbolt"
	"pgregory.net/rapid"

	"rodcall/session"
)

// crowd is a file that people use, in chats of their own and in groups.
type crowd struct {
	t      *rapid.T
	s      *Store
	people []Person
	update int64
	jobs   map[string][]string // of a chat
	events map[string]uint64
}

// chat draws a chat that a person writes in: their own, one of its topics, a group.
func (c *crowd) chat(p Person) string {
	return rapid.SampledFrom([]string{p.Platform, p.Platform, p.Platform + "/7", "tg:-1005550000001", "tg:-1005550000001/3"}).Draw(c.t, "chat")
}

// raw is an update as a platform would give it, in which quoted is answered.
func (c *crowd) raw(p Person, chat string, quoted Person) []byte {
	who := func(p Person) map[string]any {
		return map[string]any{"id": json.Number(strings.TrimPrefix(p.Platform, "tg:")), "is_bot": false, "first_name": p.Name, "username": p.Name}
	}
	id, _, _ := strings.Cut(strings.TrimPrefix(chat, "tg:"), "/")
	in := map[string]any{"id": json.Number(id), "type": "group"}
	if strings.HasPrefix(chat, p.Platform) {
		in = who(p)
	}
	m := map[string]any{
		"message_id": 5, "from": who(p), "chat": in, "text": "3/8 low",
		"reply_to_message": map[string]any{"message_id": 4, "from": who(quoted), "chat": in, "text": "on", "author_signature": quoted.Name},
		"entities":         []any{map[string]any{"type": "text_mention", "user": who(quoted)}},
	}
	b, err := json.Marshal(map[string]any{"update_id": c.update, "message": m})
	if err != nil {
		c.t.Fatal(err)
	}
	return b
}

// step is something that happens to the file.
func (c *crowd) step() {
	p := rapid.SampledFrom(c.people).Draw(c.t, "person")
	other := rapid.SampledFrom(c.people).Draw(c.t, "other")
	chat := c.chat(p)
	c.update++
	err := c.s.Update(func(tx *Tx) error {
		if _, err := tx.Receive([]Update{{ID: c.update, Raw: c.raw(p, chat, other)}}, []byte(`{"offset":1}`), noon); err != nil {
			return err
		}
		waiting := tx.Inbox(0, 1000)
		seq := waiting[len(waiting)-1].Seq
		switch rapid.IntRange(0, 9).Draw(c.t, "what") {
		case 0:
			return nil // it waits
		case 1:
			return tx.Bury(seq, errors.New("it is no message"))
		case 2:
			group, _, _ := strings.Cut(chat, "/")
			d := Door{Platform: p.Platform, Group: group, Fresh: fmt.Sprint("code", c.update)}
			d.Let, d.Owner, d.Invite = true, rapid.Bool().Draw(c.t, "owner"), rapid.Bool().Draw(c.t, "invites")
			d.Open = group != p.Platform
			d.Replies = []session.Reply{{Text: "welcome"}}
			_, err := tx.TurnAway(seq, chat, d, noon)
			return err
		case 3:
			if err := tx.KeepShut(p.Platform, Shut{Last: noon, Refused: 7}); err != nil {
				return err
			}
			return tx.Ignore(seq)
		}
		co := Commit{
			Inbox: seq, Message: fmt.Sprint(c.update), Answers: fmt.Sprint(c.update), Person: p, Made: noon,
			Chat:         session.Chat{ID: chat},
			Conversation: session.Conversation{Lang: "en", Question: &session.Question{Number: 1, Kind: "side", Text: "3/8"}},
			Replies:      []session.Reply{{Text: "c1: on", Live: rapid.SampledFrom([]string{"", "board"}).Draw(c.t, "live"), Asks: session.Place{Job: "j1"}}},
		}
		if mine := c.jobs[chat]; len(mine) > 0 && rapid.Bool().Draw(c.t, "goes on") {
			co.Job = mine[0]
			c.events[co.Job]++
			e := sets(c.events[co.Job])
			e.By = p.ID
			co.Events = []session.Event{e}
		} else if rapid.IntRange(0, 3).Draw(c.t, "opens") == 0 {
			co.Job = fmt.Sprint("j", c.update)
			c.jobs[chat], c.events[co.Job] = append(c.jobs[chat], co.Job), 1
			e := opens(co.Job, chat)
			e.By = p.ID
			co.Events = []session.Event{e}
		}
		now, err := tx.Chat(chat)
		if err != nil {
			return err
		}
		co.Chat.Jobs, co.About = now.Jobs, co.Job
		if len(co.Events) > 0 {
			// The header is to be what the events say.
			job := session.NewJob()
			if c.events[co.Job] > 1 {
				if job, err = tx.Job(co.Job); err != nil {
					return err
				}
			}
			if err := job.Apply(co.Events[0]); err != nil {
				return err
			}
			co.Chat.Jobs = slices.DeleteFunc(slices.Clone(co.Chat.Jobs), func(h session.JobHeader) bool { return h.ID == co.Job })
			co.Chat.Jobs = append(co.Chat.Jobs, job.Header())
		}
		rows, err := tx.Commit(co)
		if err != nil || len(rows) == 0 {
			return err
		}
		r, _, err := tx.OutboxRow(rows[0])
		switch rapid.IntRange(0, 2).Draw(c.t, "then") {
		case 0:
			_, err = tx.Delivered(r, fmt.Sprint("b", r.Seq))
		case 1:
			_, err = tx.Park(r, fmt.Errorf("Forbidden: %s blocked the bot", p.Platform))
		}
		return err
	})
	if err != nil {
		c.t.Fatal(err)
	}
}

// rowsWith lists the rows outside the log that hold a text, key or value, and so what
// lies in them as bytes in JSON.
func rowsWith(t testing.TB, s *Store, text string) (out []string) {
	t.Helper()
	err := s.db.View(func(tx *bbolt.Tx) error {
		return tx.ForEach(func(name []byte, b *bbolt.Bucket) error {
			if bytes.Equal(name, bucketLog) {
				return nil
			}
			return b.ForEach(func(k, v []byte) error {
				var d Dead
				if bytes.Equal(name, bucketDead) {
					if err := json.Unmarshal(v, &d); err != nil {
						return err
					}
				}
				if bytes.Contains(k, []byte(text)) || bytes.Contains(v, []byte(text)) || bytes.Contains(d.Raw, []byte(text)) {
					out = append(out, fmt.Sprintf("%s %q: %s", name, k, v))
				}
				return nil
			})
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// logOf is the log of a file.
func logOf(t testing.TB, s *Store) map[string]string {
	out := dump(t, s)
	maps.DeleteFunc(out, func(k, _ string) bool { return !strings.HasPrefix(k, "log ") })
	return out
}

// TestForgotten: whatever went before, once somebody is forgotten neither their
// name nor their platform's id stands anywhere in the file but in the log, whose
// bytes are what they were; the file is sound; all that is other people's stays;
// and who writes again is somebody new.
func TestForgotten(t *testing.T) {
	found := 0
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		path := filepath.Join(dir, fmt.Sprint(time.Now().UnixNano()))
		s := open1(t, path)
		c := &crowd{t: rt, s: s, jobs: map[string][]string{}, events: map[string]uint64{}}
		for i := range rapid.IntRange(2, 4).Draw(rt, "people") {
			c.people = append(c.people, Person{
				ID: session.PersonID(i + 1), Platform: fmt.Sprint("tg:", 730000000+rapid.IntRange(0, 999).Draw(rt, "id")*10+i),
				Name: rapid.SampledFrom([]string{"Zoë ", "Nuñez \"Z\" ", "<Zed> "}).Draw(rt, "name") + fmt.Sprint("Quim", i),
			})
		}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			c.step()
		}
		p := rapid.SampledFrom(c.people).Draw(rt, "forgotten")
		id := strings.TrimPrefix(p.Platform, "tg:")
		known := false
		view(t, s, func(tx *Tx) error { known = tx.PersonOf(p.Platform) != 0; return nil })
		log, before := logOf(t, s), dump(t, s)
		held := len(rowsWith(t, s, id))
		if err := s.Close(); err != nil {
			rt.Fatal(err)
		}
		_, err := Forget(path, p.ID)
		s = open1(t, path)
		defer func() {
			_ = s.Close()
			_ = os.Remove(path)
		}()
		if !known {
			var nobody *NoPersonError
			if !errors.As(err, &nobody) || cmp.Diff(before, dump(t, s)) != "" {
				rt.Fatalf("forgot somebody who was not known: %v", err)
			}
			return
		}
		if err != nil {
			rt.Fatal(err)
		}
		found += held
		escaped, _ := json.Marshal(p.Name)
		for _, text := range []string{id, p.Name, strings.Trim(string(escaped), `"`)} {
			if rows := rowsWith(t, s, text); len(rows) > 0 {
				rt.Fatalf("%q is left in\n%s", text, strings.Join(rows, "\n"))
			}
		}
		whole, err := os.ReadFile(path)
		if err != nil {
			rt.Fatal(err)
		}
		if bytes.Contains(whole, []byte(p.Name)) {
			rt.Fatalf("%q is left in a page that is not in use", p.Name)
		}
		if diff := cmp.Diff(log, logOf(t, s)); diff != "" {
			rt.Fatalf("the log changed:\n%s", diff)
		}
		if _, err := s.Check(func(f Fault) { rt.Errorf("a fault: %v", f) }); err != nil {
			rt.Fatal(err)
		}
		// What names neither them nor a chat of theirs is as it was, and of
		// letters in which others quote them the rest.
		after := dump(t, s)
		for k, v := range before {
			part, _, _ := strings.Cut(k, " ")
			if part == "talk" || part == "live" || strings.Contains(k+v, id) || strings.Contains(v, p.Name) || part == "dead" || k == "people sequence" {
				continue
			}
			if after[k] != v && !strings.HasPrefix(k, "people ") {
				rt.Errorf("%s was %s and is %s", k, v, after[k])
			}
		}
		view(t, s, func(tx *Tx) error {
			for _, q := range c.people {
				if now := tx.PersonOf(q.Platform); q.ID != p.ID && now != 0 && now != q.ID {
					rt.Errorf("person %d is person %d now", q.ID, now)
				}
			}
			if _, shut, err := tx.ShutOf(p.Platform); shut || err != nil {
				rt.Errorf("who is forgotten is refused, %v", err)
			}
			if a := tx.Access(p.Platform, p.Platform, ""); a.Owner || a.Let || tx.PersonOf(p.Platform) != 0 {
				rt.Errorf("who is forgotten is %+v", a)
			}
			if tx.LastPerson() < p.ID {
				rt.Errorf("number %d can be given again", p.ID)
			}
			all, err := tx.People()
			if err == nil && !slices.ContainsFunc(all, func(q Tally) bool { return q.ID == p.ID && q.Forgotten() && q.Chats == 0 }) {
				rt.Errorf("they are listed as %+v", all)
			}
			return err
		})
	})
	if found == 0 {
		t.Error("nobody who was forgotten was in a file")
	}
}

// A file in use, a number that nobody has, and the administrators of a group who
// stay anonymous are refused, and nothing is changed.
func TestForgetRefuses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file.db")
	s := open1(t, path)
	received(t, s, 2)
	update(t, s, func(tx *Tx) error {
		c := commit(1, "tg:-5", "j1", opens("j1", "tg:-5"))
		if _, err := tx.Commit(c); err != nil {
			return err
		}
		c = commit(2, "tg:-5", "j1", sets(2))
		c.Person = Person{2, "tg:-5", ""}
		_, err := tx.Commit(c)
		return err
	})
	var busy *BusyError
	if _, err := Forget(path, 1); !errors.As(err, &busy) {
		t.Errorf("in use: %v", err)
	}
	before := dump(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	var nobody *NoPersonError
	if _, err := Forget(path, 3); !errors.As(err, &nobody) {
		t.Errorf("nobody: %v", err)
	}
	var shared *SharedError
	if _, err := Forget(path, 2); !errors.As(err, &shared) {
		t.Errorf("a group: %v", err)
	}
	if _, err := Forget(filepath.Join(t.TempDir(), "none"), 1); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
	if diff := cmp.Diff(before, dump(t, open1(t, path))); diff != "" {
		t.Error(diff)
	}
}

// TestBlank: a letter of the person's own, and one in which they are quoted.
func TestBlank(t *testing.T) {
	p := Person{3, "tg:730001", "Zed"}
	for raw, want := range map[string]string{
		`{"message":{"from":{"id":730001,"first_name":"Zed"},"text":"on"}}`:                                   "theirs",
		`{"callback_query":{"from":{"id":730001},"message":{"chat":{"id":-5}}}}`:                              "theirs",
		`{"message":{"from":{"id":8},"chat":{"id":730001},"text":"on"}}`:                                      "theirs",
		`{"from":"Zed","text":"on"}`:                                                                          "theirs",
		`no update of 730001`:                                                                                 "theirs",
		`{"message":{"from":{"id":8},"text":"Zed","message_id":730001}}`:                                      `{"message":{"from":{"id":8},"text":"Zed","message_id":730001}}`,
		`{"message":{"from":{"id":8},"reply_to_message":{"from":{"id":730001,"first_name":"Z"},"text":"a"}}}`: `{"message":{"from":{"id":8},"reply_to_message":{"from":{"id":0,"is_bot":false},"text":"a"}}}`,
		`{"message":{"from":{"id":8},"forward_origin":{"sender_user_name":"\u005aed"}}}`:                      `{"message":{"forward_origin":{"sender_user_name":""},"from":{"id":8}}}`,
		`{"last":"eyJmcm9tIjoiWmVkIn0=","now":1}`:                                                             `{"last":null,"now":1}`,
	} {
		clean, wrote := p.blank([]byte(raw))
		got := string(clean)
		if wrote {
			got = "theirs"
		}
		if got != want {
			t.Errorf("%s\nis %s\nwant %s", raw, got, want)
		}
	}
}
