package bot

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/go-telegram/bot/models"

	"rodcall/session/engine"
)

// buttonRow is how many letters the buttons of one row may have, so that a
// glove finds each.
const buttonRow = 28

// markup is what stands under a reply: buttons for choices, keys for answers.
// Where a group's talk is not heard, a question asks for a reply, for that is
// heard.
func (b *Bot) markup(d engine.Delivery) models.ReplyMarkup {
	r := d.Reply
	group := !private(d.Chat)
	switch {
	case len(r.Buttons) > 0:
		return inline(d)
	case len(r.Keys) > 0:
		var rows [][]models.KeyboardButton
		for _, keys := range r.Keys {
			var row []models.KeyboardButton
			for _, k := range keys {
				row = append(row, models.KeyboardButton{Text: k})
			}
			rows = append(rows, row)
		}
		// In a group keys are for the person whose message is answered: where there
		// is none to answer, they would be for nobody, or for all.
		if !group || b.hears(d.Chat) && b.answers(d) != nil {
			return &models.ReplyKeyboardMarkup{Keyboard: rows, ResizeKeyboard: true, IsPersistent: true, Selective: group}
		}
	case r.NoKeys && (!group || b.hears(d.Chat) && b.answers(d) != nil):
		return &models.ReplyKeyboardRemove{RemoveKeyboard: true, Selective: group}
	}
	if group && !b.hears(d.Chat) && !r.Asks.Station.IsZero() {
		return &models.ForceReply{ForceReply: true, Selective: true}
	}
	return nil
}

// inline are the buttons of a question.
func inline(d engine.Delivery) models.ReplyMarkup {
	var rows [][]models.InlineKeyboardButton
	room := 0
	for i, x := range d.Reply.Buttons {
		n := len([]rune(x.Label)) + 4
		if room < n || len(rows[len(rows)-1]) == 3 {
			rows, room = append(rows, nil), buttonRow
		}
		room -= n
		last := &rows[len(rows)-1]
		*last = append(*last, models.InlineKeyboardButton{
			Text: x.Label, CallbackData: data(d.Person, d.Reply.Question, i+1),
		})
	}
	return &models.InlineKeyboardMarkup{InlineKeyboard: rows}
}

// hears says whether all that is said in a group is heard.
func (b *Bot) hears(key string) bool {
	s := b.look()
	chat, _, err := s.address(key)
	return err == nil && (b.hearsAll || s.Admin[s.first(chat)])
}

// private says whether a key is that of a private chat: their ids are above 0.
func private(key string) bool { return !strings.HasPrefix(key, chatPrefix+"-") }

// answers ties a reply to the message that it answers, in groups only: several
// people talk there, and keys are for one of them.
func (b *Bot) answers(d engine.Delivery) *models.ReplyParameters {
	if private(d.Chat) || d.Answers == "" {
		return nil
	}
	s := b.look()
	chat, _, err := s.address(d.Chat)
	if err != nil {
		return nil
	}
	// A message of before the group moved cannot be replied to.
	_, moved := s.First[chat]
	text := d.Answers
	if moved {
		var isNew bool
		if text, isNew = strings.CutPrefix(text, "s"); !isNew {
			return nil
		}
	}
	id, err := strconv.Atoi(text)
	if err != nil {
		return nil
	}
	return &models.ReplyParameters{MessageID: id, AllowSendingWithoutReply: true}
}

// fileName names a file that is sent: a paper, or the original of a drawing.
func fileName(d engine.Delivery) string {
	if d.Reply.Kind.Paper() {
		return fmt.Sprintf("%s-%s.pdf", strings.ReplaceAll(string(d.Reply.Kind), " ", "-"), d.Reply.Picture)
	}
	return fmt.Sprintf("drawing-%s.png", d.Reply.Picture)
}

// asFile says that a reply's picture is sent as the file it is.
func asFile(d engine.Delivery) bool { return d.Reply.Original || d.Reply.Kind.Paper() }
