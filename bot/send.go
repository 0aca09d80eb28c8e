package bot

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf16"

	telegram "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"rodcall/session/engine"
)

// maxMessage is the most of a message, in the platform's UTF-16 units.
const maxMessage = 4096

// Send sends one reply. A group that became a supergroup is followed there.
func (b *Bot) Send(ctx context.Context, d engine.Delivery) (string, error) {
	for range 3 {
		id, err := b.sendOnce(ctx, d)
		var moved *telegram.MigrateError
		if errors.As(err, &moved) {
			if err := b.follow(d.Chat, int64(moved.MigrateToChatID)); err != nil {
				return "", &engine.PermanentError{Err: err}
			}
			continue
		}
		return id, b.fault(err)
	}
	return "", &engine.PermanentError{Err: errors.New("the group keeps moving")}
}

// follow notes that a chat has another id now. It is stored with the next
// updates; the platform will tell it again until then.
func (b *Bot) follow(key string, now int64) error {
	b.taking.Lock()
	defer b.taking.Unlock()
	s := b.look().clone()
	old, _, err := s.address(key)
	if err != nil {
		return err
	}
	s.migrated(old, now)
	b.keep(s)
	return nil
}

// fault sorts an error for the engine: to be tried again later, or never.
func (b *Bot) fault(err error) error {
	var many *telegram.TooManyRequestsError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &many):
		return &engine.RetryAfterError{After: time.Duration(many.RetryAfter) * time.Second, Err: b.redacted(err)}
	case errors.Is(err, telegram.ErrorForbidden), errors.Is(err, telegram.ErrorBadRequest):
		return &engine.PermanentError{Err: b.redacted(err)}
	}
	// Among these are requests that may have been taken though no answer came.
	// They are sent again: a reading said twice is better than one not said.
	return b.redacted(err)
}

func (b *Bot) sendOnce(ctx context.Context, d engine.Delivery) (string, error) {
	chat, topic, err := b.look().address(d.Chat)
	if err != nil {
		return "", &engine.PermanentError{Err: err}
	}
	var sent *models.Message
	switch {
	case d.Reply.Picture != "":
		sent, err = b.sendPicture(ctx, chat, topic, d)
	case d.Reply.Aloud != "":
		sent, err = b.sendVoice(ctx, chat, topic, d)
	default:
		sent, err = b.api.SendMessage(ctx, &telegram.SendMessageParams{
			ChatID: chat, MessageThreadID: topic, Text: shorten(d.Reply.Text),
			LinkPreviewOptions: &models.LinkPreviewOptions{IsDisabled: telegram.True()},
			ReplyParameters:    b.answers(d), ReplyMarkup: b.markup(d),
		})
	}
	if err != nil || sent == nil {
		return "", err
	}
	return b.look().messageID(chat, sent.ID), nil
}

// sendPicture sends the drawing: as a photo to look at, or as the file it is.
// What was sent before and has not changed is sent by its id.
func (b *Bot) sendPicture(ctx context.Context, chat int64, topic int, d engine.Delivery) (*models.Message, error) {
	b.typing(ctx, chat, topic, asFile(d))
	key := pictureKey(d)
	if id, ok := b.photos.get(key); ok {
		sent, err := b.sendFile(ctx, chat, topic, d, &models.InputFileString{Data: id})
		if err == nil || !errors.Is(err, telegram.ErrorBadRequest) {
			return sent, err
		}
		b.photos.drop(key) // the platform has forgotten it
	}
	if len(d.Picture) == 0 {
		return nil, fmt.Errorf("%w: the picture is gone and has to be drawn again", errUndrawn)
	}
	// A reader for each attempt: one that was read to its end sends nothing.
	sent, err := b.sendFile(ctx, chat, topic, d, &models.InputFileUpload{Filename: fileName(d), Data: bytes.NewReader(d.Picture)})
	if err != nil {
		return nil, err
	}
	switch {
	case d.Reply.Kind.Paper():
		// It names people, who may be forgotten: it is made anew each time.
	case d.Reply.Original && sent.Document != nil:
		b.photos.put(key, sent.Document.FileID)
	case len(sent.Photo) > 0:
		b.photos.put(key, sent.Photo[len(sent.Photo)-1].FileID)
	}
	return sent, nil
}

var errUndrawn = errors.New("not sent")

func (b *Bot) sendFile(ctx context.Context, chat int64, topic int, d engine.Delivery, file models.InputFile) (*models.Message, error) {
	if asFile(d) {
		return b.api.SendDocument(ctx, &telegram.SendDocumentParams{
			ChatID: chat, MessageThreadID: topic, Document: file, ReplyParameters: b.answers(d), ReplyMarkup: b.markup(d),
		})
	}
	return b.api.SendPhoto(ctx, &telegram.SendPhotoParams{
		ChatID: chat, MessageThreadID: topic, Photo: file, ReplyParameters: b.answers(d), ReplyMarkup: b.markup(d),
	})
}

// typing shows that something is on its way.
func (b *Bot) typing(ctx context.Context, chat int64, topic int, file bool) {
	action := models.ChatActionUploadPhoto
	if file {
		action = models.ChatActionUploadDocument
	}
	if _, err := b.api.SendChatAction(ctx, &telegram.SendChatActionParams{ChatID: chat, MessageThreadID: topic, Action: action}); err != nil {
		b.log.Debug("a typing sign was not sent", "err", b.redacted(err))
	}
}

// shorten cuts a text to what the platform takes.
func shorten(text string) string {
	units := utf16.Encode([]rune(text))
	if len(units) <= maxMessage {
		return text
	}
	return strings.TrimRight(string(utf16.Decode(units[:maxMessage-2])), "\ufffd") + "…"
}
