package engine

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

const (
	kills     = 36
	killChats = 9
	killAhead = 300 // messages to be heard when a child starts
)

// killing is what the test of killing keeps.
type killing struct {
	t     *testing.T
	dir   string
	rnd   *rand.Rand
	fed   int
	want  map[string][]string // ids to be heard, by chat
	texts map[string][]string // and their texts
	booms int
	// within is when a child is killed at the latest.
	within time.Duration
	// noted, over all kills: rows in inbox and outbox after a kill
	inbox, outbox, busy int
	noted               int // photos, counted after each kill
}

// feed adds n messages of several chats to what the platform has: texts, voice
// notes and photos; now and then one that makes Hear panic.
func (k *killing) feed(n int) {
	var b bytes.Buffer
	for range n {
		chat := fmt.Sprint("chat ", k.rnd.Intn(killChats))
		u := toyUpdate{Chat: chat, Who: "ann", Kind: session.Said, ID: fmt.Sprint(k.fed), Text: fmt.Sprint("text ", k.fed)}
		if k.rnd.Intn(60) == 0 {
			u.Text = "boom"
			k.booms++
		} else {
			text := u.Text
			switch k.rnd.Intn(8) {
			case 0:
				u.Kind, u.Text, text = session.Spoken, "", "heard "+u.ID
			case 1:
				u.Kind = session.Showed
			}
			k.want[chat] = append(k.want[chat], u.ID)
			k.texts[chat] = append(k.texts[chat], text)
		}
		b.Write(raw(0, u).Raw)
		b.WriteByte('\n')
		k.fed++
	}
	f, err := os.OpenFile(filepath.Join(k.dir, feedFile), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err == nil {
		_, err = f.Write(b.Bytes())
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		k.t.Fatal(err)
	}
}

// run starts a child. It is killed at a random moment, from its very start
// on; or it ends by itself.
func (k *killing) run(finish bool) {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	c := exec.CommandContext(ctx, os.Args[0])
	c.Env = append(os.Environ(), childDir+"="+k.dir)
	if finish {
		c.Env = append(c.Env, childFinish+"=1")
	}
	var stderr bytes.Buffer
	c.Stderr = &stderr
	out, err := c.StdoutPipe()
	if err != nil {
		k.t.Fatal(err)
	}
	in, err := c.StdinPipe() // open for as long as the parent lives
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		k.t.Fatal(err)
	}
	defer func() { _ = in.Close() }()
	if !finish {
		if k.rnd.Intn(6) > 0 {
			_, _ = bufio.NewReader(out).ReadString('\n') // it is up
		}
		time.Sleep(time.Duration(k.rnd.Int63n(int64(k.within))))
		if err := c.Process.Kill(); err != nil {
			k.t.Fatalf("it ended by itself: %v\n%s", err, &stderr)
		}
	}
	err = c.Wait()
	if finish && err != nil || stderr.Len() > 0 {
		k.t.Fatalf("child: %v\n%s", err, &stderr)
	}
	if !finish && c.ProcessState.Exited() {
		k.t.Fatalf("it was not killed: %v", err)
	}
}

// look checks what a kill left, and says how many messages have been heard.
func (k *killing) look() (done int) {
	s, err := store.Open(filepath.Join(k.dir, dbFile), store.Options{})
	if err != nil {
		k.t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	for chat, want := range k.want {
		ids := heard(k.t, s, chat)
		k.photos(s, chat)
		done += len(ids)
		if len(ids) > len(want) || !slices.Equal(ids, want[:len(ids)]) {
			k.t.Fatalf("%s heard %v\nwant, as far as it goes, %v", chat, ids, want)
		}
		view(k.t, s, func(tx *store.Tx) error {
			talk, err := tx.Conversation(chat, tx.PersonOf("ann"))
			if int(talk.Number) != len(ids) {
				k.t.Errorf("%s: the conversation counts %d messages, the log %d", chat, talk.Number, len(ids))
			}
			return err
		})
	}
	view(k.t, s, func(tx *store.Tx) error {
		rows, err := tx.Outbox(0, 1<<20)
		if err != nil {
			return err
		}
		in := tx.InboxLen()
		k.inbox += in
		k.outbox += len(rows)
		if in+len(rows) > 0 {
			k.busy++
		}
		return nil
	})
	return done + len(deadLetters(k.t, s))
}

// photos looks for the bytes of each photo that the log of a chat's job names.
func (k *killing) photos(s *store.Store, chat string) {
	view(k.t, s, func(tx *store.Tx) error {
		c, err := tx.Chat(chat)
		if err != nil || c.Current == "" {
			return err
		}
		for b := range tx.Stored(c.Current, 1) {
			e, _, err := session.Decode(b)
			if err != nil {
				return err
			}
			n, ok := e.Body.(session.Noted)
			if !ok {
				continue
			}
			k.noted++
			if jpeg, ok := tx.Photo(n.Photo); !ok || !bytes.Equal(jpeg, photoOfID(e.Message)) {
				k.t.Fatalf("%s: the photo of message %s is not kept, or is another", chat, e.Message)
			}
		}
		return nil
	})
}

// replies checks what was sent: in order in each chat, nothing missing, and
// again only what was being sent at a kill. It returns how many were.
func (k *killing) replies(kills int) (sent, again int) {
	b, err := os.ReadFile(filepath.Join(k.dir, sentFile))
	if err != nil {
		k.t.Fatal(err)
	}
	got, last, repeats := map[string][]string{}, map[string]sentLine{}, map[string]int{}
	for line := range strings.Lines(string(b)) {
		var l sentLine
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			k.t.Fatal(err)
		}
		sent++
		if l == last[l.Chat] {
			again++
			repeats[l.Chat]++
			continue
		}
		last[l.Chat] = l
		got[l.Chat] = append(got[l.Chat], l.Text)
	}
	for chat, texts := range k.texts {
		for i := range texts {
			texts[i] += fmt.Sprint(" #", i+1)
		}
		if !slices.Equal(got[chat], texts) {
			k.t.Errorf("%s was sent, but for repeats, %q\nwant %q", chat, got[chat], texts)
		}
		if repeats[chat] > kills {
			k.t.Errorf("%s was sent %d replies again, in %d kills", chat, repeats[chat], kills)
		}
	}
	return sent, again
}

// A program that is killed at random moments, again and again, counts each
// message once and in order, and sends each reply at least once.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	seed := time.Now().UnixNano()
	k := &killing{t: t, dir: t.TempDir(), rnd: rand.New(rand.NewSource(seed)), within: 25 * time.Millisecond,
		want: map[string][]string{}, texts: map[string][]string{}}
	done, n := 0, 0
	for ; n < kills || done < kills; n++ {
		k.feed(max(0, done+killAhead-k.fed))
		k.run(false)
		before := done
		if done = k.look(); done == before {
			k.within += k.within / 4 // a slow machine
		}
	}
	t.Logf("%d kills (seed %d), %d of them with rows left: %d in the inbox and %d in the outbox on average; %d of %d messages were heard before the last",
		n, seed, k.busy, k.inbox/n, k.outbox/n, done, k.fed)
	k.run(true)
	if done := k.look(); done != k.fed {
		t.Errorf("%d of %d messages were heard or put aside", done, k.fed)
	}
	if k.noted == 0 {
		t.Error("no photo was kept")
	}
	sent, again := k.replies(n)
	t.Logf("%d replies sent, %d of them again; %d dead letters", sent, again, k.booms)
}
