package bot

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"runtime/debug"
	"sync"
	"time"

	telegram "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"rodcall/session"
	"rodcall/session/engine"
	"rodcall/session/store"
)

// Ear hears what is said in a voice note.
type Ear interface {
	// Hear makes words of a note, Opus in OGG. All that can be wrong with it, or
	// with the recogniser, is a HeardFail.
	Hear(ctx context.Context, note []byte, l session.Listening) session.Heard
}

// hearTimeout is how long a recogniser may take over a note.
const hearTimeout = 30 * time.Second

// Listen fetches the voice note of a message and hears it.
func (b *Bot) Listen(ctx context.Context, in engine.Incoming, l session.Listening) (session.Heard, error) {
	n, ok := in.Attached.(note)
	switch {
	case !ok:
		return session.Heard{}, fmt.Errorf("message %s holds no voice note", in.Message.ID)
	case b.cfg.Ear == nil:
		return session.Heard{Fail: session.HeardNoEngine}, nil
	case n.fail != "":
		return session.Heard{Fail: n.fail}, nil
	}
	defer b.busy(ctx, in.Chat, models.ChatActionTyping)()
	sound, err := b.fetch(ctx, n.id, maxNote)
	switch {
	case ctx.Err() != nil:
		return session.Heard{}, ctx.Err()
	case errors.Is(err, errLarge):
		return session.Heard{Fail: session.HeardLong}, nil
	case err != nil:
		b.log.Warn("a voice note was not fetched", "err", err)
		return session.Heard{Fail: session.HeardBusy}, nil
	case len(sound) == 0:
		return session.Heard{Fail: session.HeardEmpty}, nil
	}
	hearing, cancel := context.WithTimeout(ctx, hearTimeout)
	defer cancel()
	heard := b.hear(hearing, sound, l)
	// What was cut off by the end of the program is heard on the next start.
	return heard, ctx.Err()
}

// hear keeps a note that makes the recogniser's decoder fall over from doing
// more harm than that.
func (b *Bot) hear(ctx context.Context, sound []byte, l session.Listening) (heard session.Heard) {
	defer func() {
		if p := recover(); p != nil {
			b.log.Error("panic while hearing a voice note", "panic", p, "stack", string(debug.Stack()))
			heard = session.Heard{Fail: session.HeardBroken}
		}
	}()
	return b.cfg.Ear.Hear(ctx, sound, l)
}

// FetchPhoto fetches the photo of a message.
func (b *Bot) FetchPhoto(ctx context.Context, in engine.Incoming) ([]byte, session.PhotoFail, error) {
	p, ok := in.Attached.(photo)
	switch {
	case !ok:
		return nil, "", fmt.Errorf("message %s holds no photo", in.Message.ID)
	case p.fail != "":
		return nil, p.fail, nil
	}
	picture, err := b.fetch(ctx, p.id, store.MaxPhoto)
	switch {
	case ctx.Err() != nil:
		return nil, "", ctx.Err()
	case errors.Is(err, errLarge):
		return nil, session.PhotoLarge, nil
	case err != nil:
		b.log.Warn("a photo was not fetched", "err", err)
		return nil, session.PhotoBusy, nil
	}
	return bare(picture), b.looks(picture), nil
}

// maxPixels is the most of a photo that is kept: what most telephones take, and
// what is unpacked in 200 MB at the worst.
const maxPixels = 12 << 20

// looks unpacks a photo: one that breaks off would spoil the papers. One is
// unpacked at a time, for it is large then.
func (b *Bot) looks(picture []byte) session.PhotoFail {
	is, err := jpeg.DecodeConfig(bytes.NewReader(picture))
	switch {
	case err != nil:
		return session.PhotoBroken
	case is.Width*is.Height > maxPixels:
		return session.PhotoLarge
	}
	b.looking.Lock()
	defer b.looking.Unlock()
	if _, err := jpeg.Decode(bytes.NewReader(picture)); err != nil {
		return session.PhotoBroken
	}
	return ""
}

// busy shows in a chat that something is being done, until the function that it
// returns is called. It is no matter of weight: what fails is left.
func (b *Bot) busy(ctx context.Context, key string, action models.ChatAction) (done func()) {
	chat, topic, err := b.look().address(key)
	if err != nil {
		return func() {}
	}
	ctx, cancel := context.WithCancel(ctx)
	var showing sync.WaitGroup
	showing.Go(func() {
		defer engine.Crash(b.log)
		_, err := b.api.SendChatAction(ctx, &telegram.SendChatActionParams{ChatID: chat, MessageThreadID: topic, Action: action})
		if err != nil && ctx.Err() == nil {
			b.log.Debug("a sign was not sent", "err", b.redacted(err))
		}
	})
	return func() {
		cancel()
		showing.Wait()
	}
}
