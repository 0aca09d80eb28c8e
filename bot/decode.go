package bot

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"rodcall/session"
	"rodcall/session/engine"
)

// maxText is the most of a text in bytes that is heard; the platform sends no
// more than 4096 characters.
const maxText = 16 << 10

// Decode reads an update. What nobody has to be answered for is ErrIgnore:
// what bots, channels and the platform itself send, and foreign kinds of
// update.
func (b *Bot) Decode(raw []byte) (engine.Incoming, error) {
	u, err := parseUpdate(raw)
	if err != nil {
		return engine.Incoming{}, err
	}
	s := b.look()
	switch {
	case u.Message != nil:
		return b.decodeMessage(s, u.Message, session.Said)
	case u.Edited != nil:
		return b.decodeMessage(s, u.Edited, session.Edited)
	case u.Callback != nil:
		return b.decodeTap(s, u)
	case u.Member != nil:
		return b.decodeMember(s, u)
	}
	return engine.Incoming{}, engine.ErrIgnore
}

// incoming is what all messages of a chat have in common.
func (b *Bot) incoming(s state, c chat, topic int, from user, date int64) engine.Incoming {
	in := engine.Incoming{
		Chat: s.chatKey(c.ID, topic), Group: s.chatKey(c.ID, 0),
		PersonPlatformID: "tg:" + strconv.FormatInt(from.ID, 10),
		PersonName:       from.Name,
		Message: session.Message{
			At: time.Unix(date, 0).UTC(), Private: c.private(), Lang: language(from.Language),
		},
	}
	if c.group() {
		in.Message.Rights = session.RightsUnasked
		in.Message.Deaf = !b.hearsAll && !s.Admin[s.first(c.ID)]
	}
	return in
}

// language is the language of the catalogue nearest to a code of the platform.
func language(code string) string {
	if code == "es" || strings.HasPrefix(code, "es-") {
		return "es"
	}
	return ""
}

// sender is the person who sent a message. An administrator who stays
// anonymous speaks as the group itself.
func sender(m *message) (from user, admin bool, err error) {
	switch {
	case m.SenderChat != nil && m.SenderChat.ID == m.Chat.ID && m.Chat.group():
		return user{ID: m.Chat.ID}, true, nil
	case m.SenderChat != nil, m.From == nil, m.From.Bot:
		return user{}, false, engine.ErrIgnore
	}
	return *m.From, false, nil
}

func (b *Bot) decodeMessage(s state, m *message, kind session.MessageKind) (engine.Incoming, error) {
	if !m.Chat.private() && !m.Chat.group() || m.service() || m.ViaBot != nil {
		return engine.Incoming{}, engine.ErrIgnore
	}
	from, admin, err := sender(m)
	if err != nil {
		return engine.Incoming{}, err
	}
	topic := 0
	if m.InTopic {
		topic = m.Topic
	}
	date := m.Date
	if kind == session.Edited && m.EditDate != 0 {
		date = m.EditDate
	}
	in := b.incoming(s, m.Chat, topic, from, date)
	if admin {
		in.Message.Rights = session.RightsAdmin
	}
	in.Message.Kind, in.Message.ID = kind, s.messageID(m.Chat.ID, m.ID)
	said, ok := m.carried(&in)
	if !ok || m.Forward != nil {
		// A forwarded figure is somebody else's, of another time.
		if kind == session.Edited || !m.Chat.private() {
			return engine.Incoming{}, engine.ErrIgnore
		}
		in.Message.Kind, in.Attached = session.Wordless, nil
		return in, nil
	}
	if kind == session.Edited {
		if in.Message.Kind == session.Spoken {
			return engine.Incoming{}, engine.ErrIgnore // what was spoken stays as it was
		}
		in.Message.Kind, in.Attached = kind, nil // of a photo, what is written with it
	}
	text, toUs, toOthers := b.address(cut(said))
	if toOthers {
		return engine.Incoming{}, engine.ErrIgnore
	}
	in.Message.Text = text
	// In a topic, what is no reply is a reply to the topic's first message.
	if r := m.ReplyTo; r != nil && (topic == 0 || r.ID != topic) {
		if r.From != nil && r.From.ID == b.id {
			in.ReplyToSent, toUs = s.messageID(m.Chat.ID, r.ID), true
		} else {
			in.Message.ReplyTo = s.messageID(m.Chat.ID, r.ID)
		}
	}
	in.Message.Overheard = m.Chat.group() && !toUs
	return in, nil
}

// carried finds what a message carries: a text, a voice note, a photo and what
// is written with it; ok is false where it is none of these.
func (m *message) carried(in *engine.Incoming) (text string, ok bool) {
	if n, ok := m.voiceNote(); ok {
		in.Message.Kind, in.Attached = session.Spoken, n
		return "", true
	}
	if p, ok := m.photo(); ok {
		in.Message.Kind, in.Message.Album, in.Attached = session.Showed, m.Album, p
		return m.Caption, true
	}
	return m.Text, m.Text != ""
}

func cut(text string) string {
	if len(text) > maxText {
		return text[:maxText]
	}
	return text
}

// address takes the marks of the platform off a text: "/undo@bot" is undo,
// "@bot undo" as well. toUs says that it had such marks for this bot, toOthers
// that it had them for another.
func (b *Bot) address(text string) (plain string, toUs, toOthers bool) {
	text = strings.TrimSpace(text)
	me := "@" + strings.ToLower(b.name)
	if word, rest := firstWord(text); strings.ToLower(word) == me {
		return strings.TrimSpace(rest), true, false
	}
	if !strings.HasPrefix(text, "/") || len(text) == 1 {
		return text, false, false
	}
	word, rest := firstWord(text[1:])
	command, name, named := strings.Cut(word, "@")
	if named && "@"+strings.ToLower(name) != me {
		return "", false, true
	}
	return strings.TrimRight(strings.ReplaceAll(command, "_", " ")+rest, " \n"), true, false
}

// firstWord cuts a text behind its first word; rest begins with the space.
func firstWord(text string) (word, rest string) {
	if i := strings.IndexAny(text, " \n\t"); i >= 0 {
		return text[:i], text[i:]
	}
	return text, ""
}

func (b *Bot) decodeTap(s state, u update) (engine.Incoming, error) {
	c := u.Callback
	if c.Message == nil || c.From.Bot || !c.Message.Chat.private() && !c.Message.Chat.group() {
		return engine.Incoming{}, engine.ErrIgnore
	}
	topic := 0
	if c.Message.InTopic {
		topic = c.Message.Topic
	}
	in := b.incoming(s, c.Message.Chat, topic, c.From, b.cfg.Now().Unix())
	in.Message.Kind, in.Message.ID = session.Tapped, "t"+strconv.FormatInt(u.ID, 10)
	in.ReplyToSent = s.messageID(c.Message.Chat.ID, c.Message.ID)
	var err error
	in.Whose, in.Message.Question, in.Message.Choice, err = readData(c.Data)
	if err != nil {
		return engine.Incoming{}, errors.Join(engine.ErrIgnore, err) // forged, or another program's
	}
	return in, nil
}

// data is what a button carries: whose question it answers, the question's
// number, and which of its answers.
func data(whose session.PersonID, question int64, choice int) string {
	return fmt.Sprintf("%d.%d.%d", whose, question, choice)
}

func readData(text string) (whose session.PersonID, question int64, choice int, err error) {
	p := strings.Split(text, ".")
	if len(text) > 64 || len(p) != 3 {
		return 0, 0, 0, errors.New("no button of this bot")
	}
	w, err1 := strconv.ParseInt(p[0], 10, 64)
	q, err2 := strconv.ParseInt(p[1], 10, 64)
	n, err3 := strconv.Atoi(p[2])
	if err := errors.Join(err1, err2, err3); err != nil || w < 1 || q < 1 || n < 1 {
		return 0, 0, 0, errors.New("no button of this bot")
	}
	return session.PersonID(w), q, n, nil
}

// decodeMember hears that the bot was put into a group; being put out of one
// is not to be answered.
func (b *Bot) decodeMember(s state, u update) (engine.Incoming, error) {
	m := u.Member
	if !m.Chat.group() || m.Old.in() || !m.New.in() || m.From.Bot {
		return engine.Incoming{}, engine.ErrIgnore
	}
	in := b.incoming(s, m.Chat, 0, m.From, m.Date)
	in.Message.Kind, in.Message.ID = session.Joined, "m"+strconv.FormatInt(u.ID, 10)
	in.Message.Deaf = !b.hearsAll && !m.New.admin()
	return in, nil
}
