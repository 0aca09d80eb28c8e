package session

import (
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// PersonID numbers a person. Names and platform ids live in a table of the
// store's own, so that a person can be forgotten without breaking a log.
type PersonID int64

// Person is who sent a message.
type Person struct {
	ID   PersonID
	Name string // as now known, for replies only
}

// MessageKind says what a person did.
type MessageKind uint8

// The kinds of message.
const (
	Said     MessageKind = iota + 1 // sent a text
	Edited                          // changed the text of message ID
	Tapped                          // tapped a button: Question and Text of its answer
	Joined                          // put the bot into a group
	Wordless                        // sent something without words: a sticker
	Spoken                          // sent a voice note: see Heard
	Showed                          // sent a photo: see Photo; Text is what was written with it
)

// Place is a job and a station in it: what a sent message asked for.
type Place struct {
	Job     string         `json:"job,omitempty"`
	Station reduce.Station `json:"station,omitzero"`
}

// Message is one thing a person did in a chat, as an adapter decoded it.
type Message struct {
	Kind MessageKind
	// ID of the message in its chat. An edit carries the ID of the message
	// it changed.
	ID   string
	From Person
	At   time.Time // UTC
	Text string
	// Private says that nobody else is in the chat.
	Private bool
	// Overheard says that it was said in a group, but not to the bot.
	Overheard bool
	// Deaf says that of this group the adapter hears only what is said to the
	// bot.
	Deaf bool
	// Rights of the person in the chat.
	Rights Rights
	// Lang is the platform's word on the person's language: "en", "es" or "".
	Lang string
	// ReplyTo is the ID of the person's message that this one replies to.
	ReplyTo string
	// Asked is what the bot's message that this one replies to asked for.
	Asked Place
	// Question is the number of the question whose button was tapped.
	Question int64
	// Choice is which of its answers was tapped, from 1; 0 where Text says it.
	Choice int
	// Heard is what was heard in a voice note, nil while nobody has listened.
	Heard *Heard
	// Photo is what was fetched of a photo, nil while it was not.
	Photo *Photo
	// Album is what photos that were sent together have in common; "" for none.
	Album string
	// Unseen says that replies to earlier messages of the chat had not been
	// delivered when this one was sent: it was sent without having seen them.
	Unseen bool
	// Lost is when the newest reply was made that was for this chat and could
	// never be delivered; zero for none.
	Lost time.Time
	// Speaks says that the adapter can answer aloud.
	Speaks bool
	// FreshID is an id that no job in the file has: the id of a job that this
	// message opens.
	FreshID string
}

// Reply is one message to the chat.
type Reply struct {
	Text string `json:"text,omitempty"`
	// People are those whom Text may name: see NamePeople.
	People []PersonID `json:"people,omitempty"`
	// Buttons are choices that belong to the message; a tap sends Text.
	Buttons []Button `json:"buttons,omitempty"`
	// Question is the number that Buttons carry; it acts once.
	Question int64 `json:"question,omitempty"`
	// Keys are rows of ready answers; a tap is the same as typing the key.
	Keys [][]string `json:"keys,omitempty"`
	// NoKeys takes away the keys that an earlier reply gave.
	NoKeys bool `json:"no_keys,omitempty"`
	// Picture asks for the drawing of the job (its id), made when it is sent.
	Picture string `json:"picture,omitempty"`
	// Kind of picture that Picture asks for.
	Kind PictureKind `json:"kind,omitempty"`
	// Original sends the picture as a file, as it was drawn, and not as a photo
	// to look at.
	Original bool `json:"original,omitempty"`
	// Asks is what the message asks for: a reply to it finds its place.
	Asks Place `json:"asks,omitzero"`
	// Live names a message of which only the newest matters: it replaces an
	// unsent one of the same name in its chat.
	Live string `json:"live,omitempty"`
	// Lang is the language of the text, of the picture and of Aloud.
	Lang string `json:"lang,omitempty"`
	// Aloud is a sentence to be sent as a voice note; such a reply has nothing
	// else. Who cannot speak leaves it out.
	Aloud string `json:"aloud,omitempty"`
}

// Heard is what a recogniser made of a voice note.
type Heard struct {
	// Text is the words as they may be typed: "three eighths low". It is ""
	// where Fail says why there are none.
	Text string `json:"text"`
	// Close are other texts that the recogniser could not rule out, nearest
	// first.
	Close []string  `json:"close,omitempty"`
	Fail  HeardFail `json:"fail,omitempty"`
}

// HeardFail says why nothing was heard in a voice note.
type HeardFail string

// The reasons.
const (
	HeardNoEngine HeardFail = "engine"   // nothing that recognises speech is installed
	HeardLoud     HeardFail = "loud"     // too much noise
	HeardLong     HeardFail = "long"     // longer, or larger, than is listened to
	HeardEmpty    HeardFail = "empty"    // no sound, or nobody speaks
	HeardTalk     HeardFail = "talk"     // talk, but nothing that can be said here
	HeardBroken   HeardFail = "broken"   // no voice note at all
	HeardLanguage HeardFail = "language" // the recogniser has not got the person's language
	HeardBusy     HeardFail = "busy"     // the note could not be fetched, or took too long
)

// Listening is what a recogniser is to listen for.
type Listening struct {
	Context phrase.Context
	Lang    string // "en" or "es"
	// Expect are values of the rod that are likely, likeliest first; it may be
	// empty.
	Expect []reduce.Length
}

// Photo is a photo as it was fetched. Its bytes are kept under Hash.
type Photo struct {
	Hash Hash // of its bytes, a JPEG
	Size int  // bytes
	Fail PhotoFail
}

// PhotoFail says why a photo cannot be kept.
type PhotoFail string

// The reasons.
const (
	PhotoBusy   PhotoFail = "busy"   // it could not be fetched
	PhotoLarge  PhotoFail = "large"  // larger than is kept
	PhotoBroken PhotoFail = "broken" // no JPEG
)

// PictureKind says which picture of a job is meant; "" is its drawing.
type PictureKind string

// The kinds of picture, but for the drawing.
const (
	PictureChoices PictureKind = "choices" // the levels to choose from, and what each costs
	// Papers are documents: PDF, sent as the file that they are.
	PaperWhole PictureKind = "papers"   // the job's papers
	PaperFound PictureKind = "as found" // how the concrete was found
)

// Paper says that a kind is a document and no picture.
func (k PictureKind) Paper() bool { return k == PaperWhole || k == PaperFound }

// Button is one choice: what it shows, and the text that a tap sends.
type Button struct {
	Label string `json:"label"`
	Text  string `json:"text"`
}

// Outcome is what the caller must do after a message, in this order: append
// Events to the log of Job, save Chat and Conversation, put Replies into the
// outbox, all in one transaction; then apply Events to the job in memory.
type Outcome struct {
	// Job is the job that Events belong to: the one given, or a new one
	// whose first event is Opened.
	Job          string
	Events       []Event
	Chat         Chat
	Conversation Conversation
	Replies      []Reply
	// AskRights says that nothing was done, for the rights of the person
	// decide: the message is to be heard again with Rights found out.
	AskRights bool
	// Listen says that nothing was done, for it hangs on what is said in the
	// voice note: the message is to be heard again with Heard. Fetch says the
	// same of a photo.
	Listen *Listening
	Fetch  bool
}

// Chat is what a chat (with its topic) holds for all who are in it. It is a
// value: saved with each outcome.
type Chat struct {
	ID      string      `json:"id"`             // the chat's own id, with its topic
	Current string      `json:"job,omitempty"`  // id of the job that messages are about
	Jobs    []JobHeader `json:"jobs,omitempty"` // oldest first
}

// Lang is the language of the current job, "" where there is none, or it has
// none.
func (c Chat) Lang() string {
	for _, j := range c.Jobs {
		if j.ID == c.Current {
			return j.Lang
		}
	}
	return ""
}

// JobHeader is a job in one line: what lists show without folding its log.
type JobHeader struct {
	ID     string    `json:"id"`
	Name   string    `json:"name"`
	State  State     `json:"state"`
	Read   int       `json:"read"`
	Left   int       `json:"left"`           // of the outline; 0 and unknown in a free walk
	Free   bool      `json:"free,omitempty"` // there is no outline
	Events uint64    `json:"events"`
	Next   string    `json:"next,omitempty"` // station that the walk goes on to
	Opened time.Time `json:"opened"`
	Lang   string    `json:"lang,omitempty"` // of the job in a group, "" where it has none
}
