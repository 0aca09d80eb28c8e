package session

import (
	"cmp"
	"strings"
)

// Code is what the store knows of a code that somebody sent.
type Code uint8

// What a code can be.
const (
	CodeNone   Code = iota // the message holds none
	CodeClaim              // the one that makes its sender the owner
	CodeInvite             // one that lets its sender in
	CodeSpent              // one that was used, or never was one
)

// Access is what the store knows of who may talk to the bot.
type Access struct {
	Owner bool // the person owns the bot
	Let   bool // the person was let in
	Open  bool // the chat is a group that somebody who was let in opened
	Code  Code // of the code in the message
	// Person is the language that the person speaks, and Job that of the chat's
	// job, where they are known: see AnswerLang.
	Person, Job string
	// Told says that the person was turned away not long ago.
	Told bool
	// Invite is a code that nobody has used, and Link what makes a link of a
	// code for a person, and for a group: its gap {1} is the code.
	Invite, Link, GroupLink string
}

// Admission is what becomes of a message at the door.
type Admission struct {
	Hear    bool // the message is for Hear
	Owner   bool // the person owns the bot from now on
	Let     bool // the person is let in from now on
	Open    bool // the chat is open from now on
	Invite  bool // Access.Invite is an invitation from now on
	Spend   bool // the code in the message is used up
	Replies []Reply
}

// codeLetters are what codes are made of, and codeLength how many there are at
// least: no reading and no command looks like one.
const (
	codeLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
	codeLength  = 20
)

// CodeIn is the code that a message holds: what follows start, or a code by
// itself. "" for none.
func CodeIn(m Message) string {
	words := strings.Fields(m.Text)
	switch {
	case m.Kind != Said || m.Overheard || len(m.Text) > 100:
	case len(words) == 2 && strings.EqualFold(words[0], "start") && len(words[1]) <= 64:
		return words[1]
	case len(words) == 1 && len(words[0]) >= codeLength && len(words[0]) <= 64 && strings.Trim(words[0], codeLetters) == "":
		return words[0]
	}
	return ""
}

// asksInvite says whether the message asks for an invitation.
func asksInvite(m Message) bool {
	return m.Kind == Said && !m.Overheard && strings.EqualFold(strings.TrimSpace(m.Text), "invite")
}

// Unkept is what somebody is told whose message cannot be written down; ok is
// false where nothing is said, as to a stranger.
func Unkept(a Access, m Message) (r Reply, ok bool) {
	return unheard(a, m, "unkept"), Admit(a, m).Hear && m.Kind != Joined && m.Kind != Wordless
}

// Flooded is what somebody is told who sends so much that nothing of it is taken any
// more; station is the name of the one that they are asked for, "" for none. ok is
// false where nothing is said, as to a stranger.
func Flooded(a Access, m Message, station string) (r Reply, ok bool) {
	if station == "" {
		return unheard(a, m, "flood"), Admit(a, m).Hear
	}
	return unheard(a, m, "flood.at", station), Admit(a, m).Hear
}

// Unflooded is what somebody is told who is heard again, how many of their messages
// were not, and which station, "" for none, they are asked for; ok is as with Flooded.
func Unflooded(a Access, m Message, refused int, station string) (r Reply, ok bool) {
	if station == "" {
		return unheard(a, m, "flood.over", refused), Admit(a, m).Hear
	}
	return unheard(a, m, "flood.over.at", refused, station), Admit(a, m).Hear
}

// unheard is said of messages that were not heard.
func unheard(a Access, m Message, key Key, args ...any) Reply {
	lang := AnswerLang(m.Private, cmp.Or(a.Person, m.Lang), a.Job)
	return Reply{Text: Say(lang, key, args...), Lang: lang}
}

// Admit decides at the door. A stranger gets one polite line and changes
// nothing; in a group of strangers the bot keeps still.
func Admit(a Access, m Message) Admission {
	lang := AnswerLang(m.Private, cmp.Or(a.Person, m.Lang), a.Job)
	say := func(key Key, args ...any) []Reply {
		return []Reply{{Text: Say(lang, key, args...), Lang: lang}}
	}
	let := a.Owner || a.Let
	switch {
	case a.Code == CodeClaim && m.Private:
		return Admission{Owner: true, Let: true, Spend: true, Replies: say("claimed")}
	case a.Code == CodeInvite && !let && m.Private:
		return Admission{Let: true, Spend: true, Replies: say("admitted")}
	case asksInvite(m) && let:
		switch {
		case !a.Owner:
			return Admission{Replies: say("invite.only")}
		case !m.Private:
			return Admission{Replies: say("invite.here")}
		}
		text := Say(lang, "invite", strings.ReplaceAll(a.Link, "{1}", a.Invite)) + "\n" +
			Say(lang, "invite.group", strings.ReplaceAll(a.GroupLink, "{1}", "crew"))
		return Admission{Invite: true, Replies: []Reply{{Text: text, Lang: lang}}}
	case a.Open && !m.Private:
		return Admission{Hear: true}
	case let && m.Private:
		return Admission{Hear: true}
	case let && !m.Overheard:
		return Admission{Hear: true, Open: true}
	case let:
		return Admission{} // talk in a group that the bot is not in use in
	case !m.Private || a.Told:
		return Admission{}
	case a.Code == CodeSpent:
		return Admission{Replies: say("code.spent")}
	}
	return Admission{Replies: say("stranger")}
}
