package engine

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

// The test of killing runs this test's own program as the one to be killed.
// The first variable names the folder that it works in; with the second it
// ends by itself once everything is heard and sent.
const (
	childDir    = "RODCALL_TEST_CHILD"
	childFinish = "RODCALL_TEST_CHILD_FINISH"
)

// In the child's folder: a toy platform's updates, one a line, and what was
// sent through it.
const (
	feedFile = "feed"
	sentFile = "sent"
	dbFile   = "file.db"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		if err := child(dir, os.Getenv(childFinish) != ""); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// sentLine is one send.
type sentLine struct {
	Chat, Text string
	Row        uint64
}

// filePort is a toy platform whose messages go to the end of a file, where
// they outlast the process.
type filePort struct {
	toy
	file *os.File
}

func (p *filePort) Send(_ context.Context, d Delivery) (string, error) {
	j, err := json.Marshal(sentLine{d.Chat, d.Reply.Text, d.Row})
	if err != nil {
		return "", err
	}
	_, err = p.file.Write(append(j, '\n')) // one write: whole or not at all
	return fmt.Sprint("s", d.Row), err
}

// Listen and FetchPhoto take their time, so that kills come in between.
func (p *filePort) Listen(ctx context.Context, in Incoming, _ session.Listening) (session.Heard, error) {
	select {
	case <-ctx.Done():
		return session.Heard{}, ctx.Err()
	case <-time.After(time.Duration(rand.Int63n(int64(3 * time.Millisecond)))):
	}
	return session.Heard{Text: "heard " + in.Message.ID}, nil
}

func (p *filePort) FetchPhoto(_ context.Context, in Incoming) ([]byte, session.PhotoFail, error) {
	return photoOfID(in.Message.ID), "", nil
}

// photoOfID is the photo that a message carries.
func photoOfID(id string) []byte { return bytes.Repeat([]byte("photo "+id), 500) }

// counting is hands, with the number of the person's message in the chat, as
// the conversation counts it, behind the text.
func counting(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	o := hands(c, j, talk, m)
	if o.Listen != nil || o.Fetch {
		return o
	}
	o.Conversation.Number++
	o.Replies[0].Text = fmt.Sprint(o.Replies[0].Text, " #", o.Conversation.Number)
	return o
}

// child takes the updates that the folder's feed has and the file has not, in
// groups; and some again that it has, as a platform that was not told would.
func child(dir string, finish bool) error {
	// Without its parent it ends.
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin)
		os.Exit(3)
	}()
	s, err := store.Open(filepath.Join(dir, dbFile), store.Options{})
	if err != nil {
		return err
	}
	sent, err := os.OpenFile(filepath.Join(dir, sentFile), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	e, err := Start(Config{Store: s, Port: &filePort{file: sent}, Hear: counting})
	if err != nil {
		return err
	}
	fmt.Println("up")
	feed, err := os.ReadFile(filepath.Join(dir, feedFile))
	if err != nil {
		return err
	}
	var updates []Update
	for lines := bufio.NewScanner(bytes.NewReader(feed)); lines.Scan(); {
		updates = append(updates, Update{ID: int64(len(updates)), Raw: bytes.Clone(lines.Bytes())})
	}
	next, err := stored(s)
	if err != nil {
		return err
	}
	for again := min(next, 7); next < len(updates); again = rand.Intn(min(next, 5)) {
		end := min(len(updates), next+1+rand.Intn(20))
		if err := e.Receive(updates[next-again:end], []byte(strconv.Itoa(end))); err != nil {
			return err
		}
		next = end
	}
	if !finish {
		time.Sleep(time.Hour) // until it is killed
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	if err := e.Wait(ctx); err != nil {
		return err
	}
	if err := e.Close(ctx); err != nil {
		return err
	}
	return s.Close()
}

// stored is how many updates of the feed the file has.
func stored(s *store.Store) (n int, err error) {
	err = s.View(func(tx *store.Tx) (err error) {
		if c := tx.Cursor(); c != nil {
			n, err = strconv.Atoi(string(c))
		}
		return err
	})
	return n, err
}
