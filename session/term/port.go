package term

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"rodcall/session"
	"rodcall/session/engine"
)

// port shows replies in a terminal.
type port struct {
	mu       sync.Mutex
	out      io.Writer
	pictures string // folder, "" for none
	named    string // what stands before a picture's name when it is shown
	phone    *phone
	err      error // the first that the output or the folder gave
}

// Decode reads an update as phone.act wrote it.
func (p *port) Decode(raw []byte) (engine.Incoming, error) {
	var u update
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&u); err != nil {
		return engine.Incoming{}, fmt.Errorf("update of a terminal: %w", err)
	}
	if u.Heard != nil {
		heard, err := json.Marshal(u.Heard)
		if err != nil {
			return engine.Incoming{}, err
		}
		u.Text = string(heard) // for Listen
	}
	return engine.Incoming{
		Chat:             chatKey,
		PersonPlatformID: u.From,
		PersonName:       u.From,
		ReplyToSent:      u.ReplySent,
		Message: session.Message{
			Kind: u.Kind, ID: u.Message, At: u.At, Text: u.Text, Private: u.Private,
			ReplyTo: u.ReplyTo, Question: u.Question,
		},
	}, nil
}

// Listen hears in a voice note what its step says.
func (p *port) Listen(_ context.Context, in engine.Incoming, _ session.Listening) (session.Heard, error) {
	var heard session.Heard
	err := json.Unmarshal([]byte(in.Message.Text), &heard)
	return heard, err
}

// Speaks says that answers aloud are shown.
func (p *port) Speaks() bool { return true }

// Send prints a reply, indented. The id of the bot's third message is "b3".
func (p *port) Send(_ context.Context, d engine.Delivery) (string, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	text, err := p.render(d)
	if err == nil {
		_, err = io.WriteString(p.out, text)
	}
	if err != nil {
		if p.err == nil {
			p.err = err
		}
		return "", &engine.PermanentError{Err: err}
	}
	id := "b" + strconv.FormatUint(d.Row, 10)
	p.phone.Sent = max(p.phone.Sent, d.Row)
	p.phone.show(id, d.Reply)
	return id, nil
}

// render is a reply as it is shown: text, picture, buttons, keys.
func (p *port) render(d engine.Delivery) (string, error) {
	var b strings.Builder
	if d.Reply.Text != "" {
		for l := range strings.Lines(d.Reply.Text) {
			b.WriteString(strings.TrimRight("  "+l, " \r\n") + "\n")
		}
	}
	if d.Reply.Aloud != "" {
		b.WriteString("  [aloud: " + d.Reply.Aloud + "]\n")
	}
	if d.Reply.Picture != "" {
		what, end := "picture ", ".png"
		if d.Reply.Kind.Paper() {
			what, end = "document ", ".pdf"
		}
		name, err := p.keep(d.Picture, end)
		if err != nil {
			return "", err
		}
		b.WriteString("  [" + strings.TrimSpace(what+name) + "]\n")
	}
	if len(d.Reply.Buttons) > 0 {
		var row []string
		for _, x := range d.Reply.Buttons {
			row = append(row, "["+x.Label+"]")
		}
		b.WriteString("  " + strings.Join(row, " ") + "\n")
	}
	for _, keys := range d.Reply.Keys {
		b.WriteString("  {" + strings.Join(keys, "} {") + "}\n")
	}
	return b.String(), nil
}

// keep writes a picture or a document into the folder, under the number after
// the highest there, and returns the name to be shown.
func (p *port) keep(data []byte, end string) (string, error) {
	if p.pictures == "" {
		return "", nil
	}
	if err := os.MkdirAll(p.pictures, 0o755); err != nil {
		return "", err
	}
	files, err := os.ReadDir(p.pictures)
	if err != nil {
		return "", err
	}
	last := 0
	for _, f := range files {
		if n, err := strconv.Atoi(strings.TrimSuffix(f.Name(), filepath.Ext(f.Name()))); err == nil {
			last = max(last, n)
		}
	}
	name := fmt.Sprintf("%03d%s", last+1, end)
	if err := os.WriteFile(filepath.Join(p.pictures, name), data, 0o644); err != nil {
		return "", err
	}
	return p.named + name, nil
}
