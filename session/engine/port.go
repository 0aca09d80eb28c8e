package engine

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// Update is one update as the platform gave it, with the platform's own id.
type Update = store.Update

// Incoming is an update, decoded.
type Incoming struct {
	// Chat is the key of the chat, with its topic where it has topics.
	Chat string
	// Group is that key without the topic; "" where it is the same.
	Group string
	// PersonPlatformID and PersonName are who did it; "" for nobody.
	PersonPlatformID string
	PersonName       string
	// ReplyToSent is the id, as Send returned it, of the bot's message that
	// this one replies to or whose button it tapped; "" for none.
	ReplyToSent string
	// Whose is the person whose question a tapped button answers; 0 where the
	// adapter does not tell.
	Whose session.PersonID
	// Attached is the adapter's own word on a voice note or photo that came with
	// the message, for its Listen and FetchPhoto.
	Attached any
	// Message without From.ID, Asked and FreshID, which the engine fills in.
	Message session.Message
}

// group is the key of the whole group, without a topic.
func (in Incoming) group() string { return cmp.Or(in.Group, in.Chat) }

// Delivery is one reply on its way out.
type Delivery struct {
	Row     uint64 // its number in the outbox; the same when it is sent again
	Chat    string
	Reply   session.Reply
	Picture []byte           // a PNG or PDF, where Reply.Picture asks for one
	Attempt int              // how often sending it has failed
	Made    time.Time        // when the reply was made
	Person  session.PersonID // whom it answers, 0 for nobody
	Answers string           // id of that person's message, "" for none
	Drawn   uint64           // number of the newest event in Picture
}

// Port is what an adapter implements. Its methods are called from several
// goroutines; Send never for two replies of one chat at a time, but for a word of
// trouble, which is in no outbox (row 0).
type Port interface {
	// Decode reads an update. ErrIgnore says that there is nothing to hear in
	// it; any other error, and a panic, that it is to be put aside.
	Decode(raw []byte) (Incoming, error)
	// Send sends one reply and returns the message's id in its chat. An error
	// that is no *RetryAfterError and no *PermanentError is tried again after
	// a while that grows.
	Send(ctx context.Context, d Delivery) (sentID string, err error)
}

// Gallery is a Port that keeps pictures: one that it has is not drawn again.
type Gallery interface {
	// Drawn says whether it has the picture that a delivery asks for.
	Drawn(d Delivery) bool
}

// Registry is a Port that knows who leads a chat.
type Registry interface {
	// Rights asks for a person's rights in a chat.
	Rights(ctx context.Context, chat, person string) session.Rights
}

// Listener is a Port that hears what is said in a voice note.
type Listener interface {
	// Listen hears the voice note of a message. Whatever is wrong with the note,
	// or keeps it from being heard, is a [session.HeardFail]; an error means that
	// it is to be tried again later, and is for a Port that is closing.
	Listen(ctx context.Context, in Incoming, l session.Listening) (session.Heard, error)
}

// Fetcher is a Port that has the photos that people send.
type Fetcher interface {
	// FetchPhoto fetches the photo of a message, a JPEG of at most
	// [store.MaxPhoto] bytes. What keeps it from being kept is a
	// [session.PhotoFail], with no bytes; an error means that it is to be tried
	// again later, and is for a Port that is closing.
	FetchPhoto(ctx context.Context, in Incoming) (jpeg []byte, fail session.PhotoFail, err error)
}

// Voiced is a Port that may be able to answer aloud.
type Voiced interface {
	// Speaks says whether it can: whether Send makes a voice note of
	// Reply.Aloud.
	Speaks() bool
}

// Discreet is a Port that knows a secret, which the text of an error may hold.
type Discreet interface {
	// Hide is a text without the secret.
	Hide(text string) string
}

// Links are what makes a link of an invitation, for a person and for a group:
// the gap {1} is the code.
type Links struct{ Person, Group string }

// Limiter keeps to a platform's rates.
type Limiter interface {
	// Wait returns when the next message to the chat may be sent.
	Wait(ctx context.Context, chat string) error
}

// Hear is what [session.Hear] is.
type Hear func(session.Chat, *session.Job, session.Conversation, session.Message) session.Outcome

// Draw writes one of a job's pictures as PNG, or one of its papers as PDF, as report.WritePicture does.
type Draw func(w io.Writer, j *session.Job, kind session.PictureKind, lang string, made time.Time, src report.Sources) error

// ErrIgnore is returned by Decode for an update with nothing to hear in it.
var ErrIgnore = errors.New("nothing to hear in this update")

// ErrClosed is returned once the engine has been closed.
var ErrClosed = errors.New("the engine is closed")

// RetryAfterError says that the platform wants a reply sent again later.
type RetryAfterError struct {
	After time.Duration
	Err   error
}

func (e *RetryAfterError) Error() string {
	return fmt.Sprintf("send: to be tried again after %s: %v", e.After, e.Err)
}

func (e *RetryAfterError) Unwrap() error { return e.Err }

// PermanentError says that a reply can never be sent.
type PermanentError struct{ Err error }

func (e *PermanentError) Error() string { return fmt.Sprintf("send: cannot be sent: %v", e.Err) }

func (e *PermanentError) Unwrap() error { return e.Err }

// DecodeError says that an update was put among the dead letters because the
// adapter could not decode it.
type DecodeError struct {
	Inbox  uint64
	Update int64
	Err    error
}

func (e *DecodeError) Error() string {
	return fmt.Sprintf("message %d (update %d) cannot be decoded: %v", e.Inbox, e.Update, e.Err)
}

func (e *DecodeError) Unwrap() error { return e.Err }

// HearError says that a message was put among the dead letters because it
// could not be heard.
type HearError struct {
	Inbox uint64
	Chat  string
	Err   error // a *PanicError, or why the file refused what came of it
}

func (e *HearError) Error() string {
	return fmt.Sprintf("message %d cannot be heard: %v", e.Inbox, e.Err)
}

func (e *HearError) Unwrap() error { return e.Err }

// PanicError is a panic, caught.
type PanicError struct {
	Value any
	Stack []byte
}

func (e *PanicError) Error() string { return fmt.Sprintf("panic: %v", e.Value) }
