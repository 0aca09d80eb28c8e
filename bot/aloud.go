package bot

import (
	"bytes"
	"context"
	"time"

	telegram "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"rodcall/session/engine"
)

// Speaker makes a voice note, Opus in OGG, of a sentence in a language.
type Speaker interface {
	Speak(ctx context.Context, text, lang string) (note []byte, err error)
}

const (
	// speakTimeout is how long a sentence may take to be spoken.
	speakTimeout = 15 * time.Second
	// maxSpoken is how many voice notes are kept whose sending may have to be tried
	// again: they are spoken once.
	maxSpoken = 16
)

// Speaks says whether the bot can answer aloud.
func (b *Bot) Speaks() bool { return b.cfg.Speaker != nil }

// sendVoice sends a sentence as a voice note. It is said in writing as well:
// what cannot be spoken is left out, and holds nothing up.
func (b *Bot) sendVoice(ctx context.Context, chat int64, topic int, d engine.Delivery) (*models.Message, error) {
	if b.cfg.Speaker == nil {
		return nil, nil
	}
	note, ok := b.spoken.get(d.Row)
	if !ok {
		lang := d.Reply.Lang
		if lang == "" {
			lang = "en"
		}
		speaking, cancel := context.WithTimeout(ctx, speakTimeout)
		defer cancel()
		var err error
		if note, err = b.cfg.Speaker.Speak(speaking, d.Reply.Aloud, lang); err != nil || len(note) == 0 {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			b.log.Warn("an answer was not spoken", "row", d.Row, "err", err)
			return nil, nil
		}
		b.spoken.put(d.Row, note)
	}
	return b.api.SendVoice(ctx, &telegram.SendVoiceParams{
		ChatID: chat, MessageThreadID: topic, ReplyParameters: b.answers(d),
		Voice: &models.InputFileUpload{Filename: "answer.ogg", Data: bytes.NewReader(note)},
	})
}
