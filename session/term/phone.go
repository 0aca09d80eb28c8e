package term

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"time"

	"rodcall/session"
	"rodcall/session/engine"
)

// chatKey is the one chat of the terminal.
const chatKey = "term"

// start is when the clock of a played chat starts; a message takes pace.
var start = time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)

const pace = 10 * time.Second

// maxShown is how many of the newest labels can be tapped.
const maxShown = 200

// phone is what the people of the chat have before their eyes and in their
// pockets. It is the adapter's cursor: stored with each update, it says where
// the next run goes on.
type phone struct {
	Clock   time.Time `json:"clock"`             // of the next message
	Now     time.Time `json:"now"`               // of the last one
	Message int       `json:"message"`           // number of the last one, from 1
	Update  int64     `json:"update"`            // id of the last update
	Sent    uint64    `json:"sent"`              // number of the bot's last message, from 1
	Others  bool      `json:"others,omitempty"`  // more than one person has spoken
	Speaker string    `json:"speaker,omitempty"` // the first who did
	Last    []byte    `json:"last,omitempty"`    // the last update, raw
	Shown   []label   `json:"shown,omitempty"`   // what can be tapped, newest last
}

// label is a button or a key that was shown.
type label struct {
	Label    string `json:"label"`
	Text     string `json:"text,omitempty"`     // what the button sends; a key sends its label
	Question int64  `json:"question,omitempty"` // that the button belongs to
	Sent     string `json:"sent,omitempty"`     // the message that it belongs to
	Key      bool   `json:"key,omitempty"`
}

// update is one update of the terminal, as it is stored raw.
type update struct {
	ID        int64               `json:"id"`
	Kind      session.MessageKind `json:"kind"`
	Message   string              `json:"message"`
	From      string              `json:"from"`
	At        time.Time           `json:"at"`
	Text      string              `json:"text"`
	Private   bool                `json:"private,omitempty"`
	ReplyTo   string              `json:"reply_to,omitempty"`
	ReplySent string              `json:"reply_sent,omitempty"`
	Question  int64               `json:"question,omitempty"`
	Heard     *session.Heard      `json:"heard,omitempty"` // in a voice note
}

func newPhone(cursor []byte) (*phone, error) {
	if cursor == nil {
		return &phone{Clock: start, Now: start}, nil
	}
	p := &phone{}
	if err := json.Unmarshal(cursor, p); err != nil {
		return nil, fmt.Errorf("the file was not made in a terminal: %w", err)
	}
	return p, nil
}

func (p *phone) cursor() ([]byte, error) { return json.Marshal(p) }

// newest returns the newest button or key with a label.
func (p *phone) newest(l string) (label, bool) {
	for _, s := range slices.Backward(p.Shown) {
		if s.Label == l {
			return s, true
		}
	}
	return label{}, false
}

// show remembers what a reply lets people tap.
func (p *phone) show(sent string, r session.Reply) {
	for _, row := range r.Keys {
		for _, k := range row {
			p.Shown = append(p.Shown, label{Label: k, Key: true})
		}
	}
	for _, b := range r.Buttons {
		p.Shown = append(p.Shown, label{Label: b.Label, Text: b.Text, Question: r.Question, Sent: sent})
	}
	if n := len(p.Shown); n > maxShown {
		p.Shown = slices.Clone(p.Shown[n-maxShown:])
	}
}

// act makes the update of a step that is a message, by the speaker named.
func (p *phone) act(s step, speaker string, at time.Time) (engine.Update, error) {
	u := update{Kind: session.Said, From: speaker, At: at, Text: s.text}
	switch s.kind {
	case edits:
		if err := p.sent(s.target); err != nil {
			return engine.Update{}, err
		}
		u.Kind, u.Message = session.Edited, s.target
	case replies:
		if err := p.sent(s.target); err != nil {
			return engine.Update{}, err
		}
		if s.target[0] == 'b' {
			u.ReplySent = s.target
		} else {
			u.ReplyTo = s.target
		}
	case taps:
		l, ok := p.newest(s.target)
		if !ok {
			return engine.Update{}, fmt.Errorf("nothing shown has the label %q; %s", s.target, p.labels())
		}
		u.Text = l.Label
		if !l.Key {
			u.Kind, u.Text, u.Question, u.ReplySent = session.Tapped, l.Text, l.Question, l.Sent
		}
	case shows:
		u.Kind = session.Showed
	case speaks:
		u.Kind, u.Heard = session.Spoken, &s.heard
	case says, waits, restart, repeat:
	}
	p.Update++
	u.ID = p.Update
	switch u.Kind {
	case session.Said, session.Showed, session.Spoken:
		p.Message++
		u.Message = strconv.Itoa(p.Message)
	case session.Tapped:
		u.Message = "t" + strconv.FormatInt(u.ID, 10)
	case session.Edited, session.Joined, session.Wordless:
	}
	if p.Speaker == "" {
		p.Speaker = speaker
	}
	p.Others = p.Others || speaker != p.Speaker
	u.Private = !p.Others
	raw, err := json.Marshal(u)
	if err != nil {
		return engine.Update{}, err
	}
	p.Now, p.Clock, p.Last = at, at.Add(pace), raw
	return engine.Update{ID: u.ID, Raw: raw}, nil
}

// sent says whether a message of that number is there.
func (p *phone) sent(number string) error {
	newest, what := uint64(p.Message), ""
	if number[0] == 'b' {
		newest, number, what = p.Sent, number[1:], "b"
	}
	n, err := strconv.ParseUint(number, 10, 64)
	switch {
	case err != nil || newest == 0:
		return fmt.Errorf("there is no message %s%s yet; send one first", what, number)
	case n > newest:
		return fmt.Errorf("there is no message %s%s; the newest is %s%d", what, number, what, newest)
	}
	return nil
}

// labels lists the newest few labels for an error.
func (p *phone) labels() string {
	if len(p.Shown) == 0 {
		return "nothing was shown to tap yet"
	}
	s := "the newest are"
	for i, l := range slices.Backward(p.Shown) {
		if i < len(p.Shown)-6 {
			break
		}
		s += fmt.Sprintf(" %q", l.Label)
	}
	return s
}
