package apitest_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"rodcall/bot/apitest"
)

// The client of github.com/go-telegram/bot v1.19.0 was written against the
// platform itself: what it sends and understands is an outside check that the
// stand-in speaks the same protocol.

func library(t *testing.T, srv *apitest.Server, more ...bot.Option) *bot.Bot {
	t.Helper()
	options := append([]bot.Option{bot.WithServerURL(srv.URL()), bot.WithErrorsHandler(func(err error) {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("client: %v", err)
		}
	})}, more...)
	b, err := bot.New(srv.Token(), options...) // asks getMe
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestLibrarySendsAndEdits(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	b, ctx := library(t, srv), t.Context()
	keyboard := models.InlineKeyboardMarkup{InlineKeyboard: [][]models.InlineKeyboardButton{{{Text: "Undo", CallbackData: "u1"}}}}
	m, err := b.SendMessage(ctx, &bot.SendMessageParams{ChatID: c.ID(), Text: "<b>1.20</b> is heard", ParseMode: models.ParseModeHTML,
		ReplyParameters: &models.ReplyParameters{MessageID: c.Messages()[0].ID}, ReplyMarkup: keyboard})
	if err != nil {
		t.Fatal(err)
	}
	if m.Text != "1.20 is heard" || len(m.Entities) != 1 || m.Entities[0].Type != "bold" || m.Entities[0].Length != 4 ||
		m.Chat.Type != models.ChatTypePrivate || m.ReplyToMessage == nil || m.ReplyMarkup.InlineKeyboard[0][0].CallbackData != "u1" {
		t.Errorf("sendMessage: %+v", m)
	}
	if m, err = b.EditMessageText(ctx, &bot.EditMessageTextParams{ChatID: c.ID(), MessageID: m.ID, Text: "1.25"}); err != nil || m.Text != "1.25" || m.EditDate == 0 {
		t.Errorf("editMessageText: %+v %v", m, err)
	}
	_, err = b.EditMessageText(ctx, &bot.EditMessageTextParams{ChatID: c.ID(), MessageID: m.ID, Text: "1.25"})
	if !errors.Is(err, bot.ErrorBadRequest) || !strings.Contains(err.Error(), "message is not modified") {
		t.Errorf("the same again: %v", err)
	}
	data, next := picture(t, 400, 300), picture(t, 500, 300)
	p, err := b.SendPhoto(ctx, &bot.SendPhotoParams{ChatID: c.ID(), Caption: "Pad 4",
		Photo: &models.InputFileUpload{Filename: "pad.png", Data: bytes.NewReader(data)}})
	if err != nil || len(p.Photo) == 0 || p.Photo[len(p.Photo)-1].Width != 400 {
		t.Fatalf("sendPhoto: %+v %v", p, err)
	}
	if _, err = b.SendPhoto(ctx, &bot.SendPhotoParams{ChatID: c.ID(), Photo: &models.InputFileString{Data: p.Photo[len(p.Photo)-1].FileID}}); err != nil {
		t.Errorf("sendPhoto by file_id: %v", err)
	}
	p, err = b.EditMessageMedia(ctx, &bot.EditMessageMediaParams{ChatID: c.ID(), MessageID: p.ID, ReplyMarkup: keyboard,
		Media: &models.InputMediaPhoto{Media: "attach://next.png", Caption: "Pad 5", MediaAttachment: bytes.NewReader(next)}})
	if err != nil || p.Caption != "Pad 5" || p.Photo[len(p.Photo)-1].Width != 500 {
		t.Errorf("editMessageMedia: %+v %v", p, err)
	}
	d, err := b.SendDocument(ctx, &bot.SendDocumentParams{ChatID: c.ID(),
		Document: &models.InputFileUpload{Filename: "readings.csv", Data: strings.NewReader("a,b\n")}})
	if err != nil || d.Document.FileName != "readings.csv" || d.Document.FileSize != 4 {
		t.Errorf("sendDocument: %+v %v", d, err)
	}
	f, err := b.GetFile(ctx, &bot.GetFileParams{FileID: d.Document.FileID})
	if err != nil {
		t.Fatal(err)
	}
	if code, body := get(t, b.FileDownloadLink(f)); code != 200 || string(body) != "a,b\n" {
		t.Errorf("download: %d %q", code, body)
	}
	// A reader that was read before sends an empty file.
	used := bytes.NewReader(data)
	if _, err := used.Seek(0, io.SeekEnd); err != nil {
		t.Fatal(err)
	}
	if _, err = b.SendPhoto(ctx, &bot.SendPhotoParams{ChatID: c.ID(), Photo: &models.InputFileUpload{Filename: "a.png", Data: used}}); !errors.Is(err, bot.ErrorBadRequest) {
		t.Errorf("an empty file: %v", err)
	}
	screen := c.FromBot()
	if len(screen) != 4 || !bytes.Equal(screen[1].Photo.Data, next) || !bytes.Equal(screen[2].Photo.Data, data) || screen[1].Buttons[0][0].Text != "Undo" {
		t.Errorf("screen:\n%s", c.Screen())
	}
}

func TestLibraryUnderstandsTheRest(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	g := srv.Group("Pad 4", ana)
	b, ctx := library(t, srv), t.Context()
	id := c.Messages()[0].ID
	yes := func(name string) func(ok bool, err error) {
		return func(ok bool, err error) {
			t.Helper()
			if !ok || err != nil {
				t.Errorf("%s: %v %v", name, ok, err)
			}
		}
	}
	yes("sendChatAction")(b.SendChatAction(ctx, &bot.SendChatActionParams{ChatID: c.ID(), Action: models.ChatActionTyping}))
	yes("setMessageReaction")(b.SetMessageReaction(ctx, &bot.SetMessageReactionParams{ChatID: c.ID(), MessageID: id,
		Reaction: []models.ReactionType{{Type: models.ReactionTypeTypeEmoji, ReactionTypeEmoji: &models.ReactionTypeEmoji{Type: models.ReactionTypeTypeEmoji, Emoji: "✍"}}}}))
	yes("setMyCommands")(b.SetMyCommands(ctx, &bot.SetMyCommandsParams{Commands: []models.BotCommand{{Command: "help", Description: "Help"}},
		Scope: &models.BotCommandScopeChat{ChatID: c.ID()}, LanguageCode: "es"}))
	list, err := b.GetMyCommands(ctx, &bot.GetMyCommandsParams{Scope: &models.BotCommandScopeChat{ChatID: c.ID()}, LanguageCode: "es"})
	if err != nil || len(list) != 1 || list[0].Command != "help" {
		t.Errorf("getMyCommands: %+v %v", list, err)
	}
	member, err := b.GetChatMember(ctx, &bot.GetChatMemberParams{ChatID: g.ID(), UserID: ana.ID})
	if err != nil || member.Type != models.ChatMemberTypeOwner || member.Owner.User.FirstName != "Ana" {
		t.Errorf("getChatMember: %+v %v", member, err)
	}
	admins, err := b.GetChatAdministrators(ctx, &bot.GetChatAdministratorsParams{ChatID: g.ID()})
	if err != nil || len(admins) != 1 || admins[0].Owner == nil {
		t.Errorf("getChatAdministrators: %+v %v", admins, err)
	}
	chat, err := b.GetChat(ctx, &bot.GetChatParams{ChatID: g.ID()})
	if err != nil || chat.Title != "Pad 4" || chat.Type != models.ChatTypeSupergroup {
		t.Errorf("getChat: %+v %v", chat, err)
	}
	query := c.Forge(ana, id, "x")
	yes("answerCallbackQuery")(b.AnswerCallbackQuery(ctx, &bot.AnswerCallbackQueryParams{CallbackQueryID: query, Text: "Done"}))
	yes("deleteMessage")(b.DeleteMessage(ctx, &bot.DeleteMessageParams{ChatID: c.ID(), MessageID: id}))
	yes("setWebhook")(b.SetWebhook(ctx, &bot.SetWebhookParams{URL: "https://bot.example.org/hook", SecretToken: "s", AllowedUpdates: []string{"message"}}))
	info, err := b.GetWebhookInfo(ctx)
	if err != nil || info.URL != "https://bot.example.org/hook" || !slices.Equal(info.AllowedUpdates, []string{"message"}) {
		t.Errorf("getWebhookInfo: %+v %v", info, err)
	}
	yes("deleteWebhook")(b.DeleteWebhook(ctx, &bot.DeleteWebhookParams{DropPendingUpdates: true}))
	yes("logOut")(b.Logout(ctx))
	if f := srv.Faults(); len(f) > 0 {
		t.Errorf("faults: %+v", f)
	}
}

func TestLibraryPolls(t *testing.T) {
	srv := start(t, apitest.Config{ReadsAll: true})
	ana, c := private(t, srv)
	got := make(chan *models.Update, 10)
	b := library(t, srv, bot.WithDefaultHandler(func(_ context.Context, _ *bot.Bot, u *models.Update) { got <- u }), bot.WithNotAsyncHandlers())
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() { b.Start(ctx); close(ended) }()
	id := c.Say(ana, "1.20")
	if u := <-got; u.Message == nil || u.Message.Text != "1.20" || u.Message.From.ID != ana.ID || u.Message.ID != id {
		t.Errorf("message: %+v", u)
	}
	if err := c.Edit(ana, id, "/set 1"); err != nil {
		t.Fatal(err)
	}
	if u := <-got; u.EditedMessage == nil || u.EditedMessage.Entities[0].Type != models.MessageEntityTypeBotCommand || u.EditedMessage.Entities[0].Length != 4 {
		t.Errorf("edit: %+v", u)
	}
	c.Forge(ana, id, "d")
	if u := <-got; u.CallbackQuery == nil || u.CallbackQuery.Data != "d" || u.CallbackQuery.Message.Message.ID != id {
		t.Errorf("tap: %+v", u)
	}
	c.Forge(ana, 99, "d")
	if u := <-got; u.CallbackQuery == nil || u.CallbackQuery.Message.InaccessibleMessage.MessageID != 99 {
		t.Errorf("tap on what is gone: %+v", u)
	}
	c.Block(ana)
	if u := <-got; u.MyChatMember == nil || u.MyChatMember.NewChatMember.Type != models.ChatMemberTypeBanned {
		t.Errorf("block: %+v", u)
	}
	topic := srv.Group("Forum", ana).OpenTopic(ana, "Footings")
	for range 2 {
		<-got // added, topic opened
	}
	topic.Say(ana, "here")
	if u := <-got; !u.Message.IsTopicMessage || u.Message.MessageThreadID != topic.Topic() || !u.Message.Chat.IsForum {
		t.Errorf("topic: %+v", u.Message)
	}
	stop()
	<-ended
}

func TestLibraryKnowsTheErrors(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	b, ctx := library(t, srv), t.Context()
	send := func(id int64) error {
		_, err := b.SendMessage(ctx, &bot.SendMessageParams{ChatID: id, Text: "x"})
		return err
	}
	srv.Inject(apitest.Trouble{Kind: apitest.TooMany, RetryAfter: 7})
	var wait *bot.TooManyRequestsError
	if err := send(c.ID()); !errors.As(err, &wait) || wait.RetryAfter != 7 {
		t.Errorf("429: %v", err)
	}
	small := srv.SmallGroup("Pad 4", ana)
	big := small.Migrate(ana)
	var moved *bot.MigrateError
	if err := send(small.ID()); !errors.As(err, &moved) || int64(moved.MigrateToChatID) != big.ID() {
		t.Errorf("migration: %v", err)
	}
	c.Block(ana)
	if err := send(c.ID()); !errors.Is(err, bot.ErrorForbidden) {
		t.Errorf("blocked: %v", err)
	}
	if _, err := bot.New(srv.Token()+"x", bot.WithServerURL(srv.URL())); !errors.Is(err, bot.ErrorUnauthorized) {
		t.Errorf("wrong token: %v", err)
	}
	srv.Inject(apitest.Trouble{Kind: apitest.CutAfter, ChatID: big.ID()})
	if err := send(big.ID()); err == nil || len(srv.Chat(big.ID()).FromBot()) != 1 {
		t.Errorf("cut after acceptance: %v, %d messages", err, len(srv.Chat(big.ID()).FromBot()))
	}
}

// Every field that the client may send must be one that the stand-in knows.
func TestLibraryFieldsAreKnown(t *testing.T) {
	// Left alone: a field that the client names wrongly, and one that the Bot
	// API does not have for the method.
	wrong := map[string][]string{"editMessageCaption": {"k", "disable_web_page_preview"}}
	srv := start(t, apitest.Config{})
	for method, of := range map[string]any{
		"sendMessage": bot.SendMessageParams{}, "sendPhoto": bot.SendPhotoParams{}, "sendDocument": bot.SendDocumentParams{},
		"editMessageText": bot.EditMessageTextParams{}, "editMessageCaption": bot.EditMessageCaptionParams{},
		"editMessageMedia": bot.EditMessageMediaParams{}, "editMessageReplyMarkup": bot.EditMessageReplyMarkupParams{},
		"deleteMessage": bot.DeleteMessageParams{}, "sendChatAction": bot.SendChatActionParams{},
		"answerCallbackQuery": bot.AnswerCallbackQueryParams{}, "setMyCommands": bot.SetMyCommandsParams{},
		"getMyCommands": bot.GetMyCommandsParams{}, "deleteMyCommands": bot.DeleteMyCommandsParams{},
		"getFile": bot.GetFileParams{}, "setMessageReaction": bot.SetMessageReactionParams{},
		"getChat": bot.GetChatParams{}, "getChatMember": bot.GetChatMemberParams{},
		"getChatAdministrators": bot.GetChatAdministratorsParams{}, "setWebhook": bot.SetWebhookParams{},
		"deleteWebhook": bot.DeleteWebhookParams{},
	} {
		s := reflect.TypeOf(of)
		if s.NumField() == 0 {
			t.Errorf("%s: no field to look at", method)
		}
		for i := range s.NumField() {
			name, _, _ := strings.Cut(s.Field(i).Tag.Get("json"), ",")
			known := !strings.Contains(ask(t, srv, method, fields{name: nil}).Description, fmt.Sprintf("no field %q", name))
			if known == slices.Contains(wrong[method], name) {
				t.Errorf("%s: field %q known: %v", method, name, known)
			}
		}
	}
}
