package apitest

import "time"

// Limits are the platform's limits that the stand-in holds a bot to. Lengths
// of texts are in UTF-16 units, in which the platform also counts the offsets
// of entities; where the platform counts characters, that is the stricter
// reading. Source unless said otherwise: https://core.telegram.org/bots/api,
// at the method or object named. "The server" is what its published source,
// https://github.com/tdlib/telegram-bot-api, has; of what is marked "second
// hand" that source itself was not read.
var Limits = struct {
	Text            int // sendMessage text, after entities are parsed
	Caption         int // sendPhoto caption, after entities are parsed
	CallbackData    int // InlineKeyboardButton callback_data, bytes
	CallbackAnswer  int // answerCallbackQuery text
	DeepLink        int // start parameter of a deep link, of A-Za-z0-9_-
	Placeholder     int // input_field_placeholder
	Commands        int // setMyCommands commands
	CommandName     int // BotCommand command, of a-z0-9_
	CommandText     int // BotCommand description
	KeyboardButtons int // buttons of one keyboard; from practice, not documented
	Entities        int // entities of one message; from practice, not documented

	PhotoBytes    int // sendPhoto
	PhotoSum      int // width + height, sendPhoto
	PhotoRatio    int // longer side over shorter, sendPhoto
	DocumentBytes int // sendDocument
	DownloadBytes int // getFile

	UpdatesPerPoll int           // getUpdates limit
	PollBytes      int           // one answer of getUpdates; the server
	PollTimeout    int           // seconds, getUpdates timeout; the server, second hand
	SamePoll       time.Duration // the same offset again within it gets one update; the server, second hand
	UpdateLife     time.Duration // an update not fetched is dropped; the page on getting updates
	CallbackLife   time.Duration // a tap not fetched is dropped; the server. That it cannot be answered later is an assumption
	IdleIDs        time.Duration // without updates for so long the next id is random; Update update_id

	WebhookConnections int           // setWebhook max_connections
	WebhookSecret      int           // setWebhook secret_token, of A-Za-z0-9_-
	WebhookPorts       []string      // the guide to webhooks
	DeleteAge          time.Duration // deleteMessage

	ChatPerSecond  float64 // messages; https://core.telegram.org/bots/faq, "about one a second"
	ChatBurst      int     // "short bursts" of it; an assumption
	GroupPerMinute int     // messages in a group, the FAQ
	TotalPerSecond int     // messages in all, the FAQ
}{
	Text:            4096,
	Caption:         1024,
	CallbackData:    64,
	CallbackAnswer:  200,
	DeepLink:        64,
	Placeholder:     64,
	Commands:        100,
	CommandName:     32,
	CommandText:     256,
	KeyboardButtons: 100,
	Entities:        100,

	PhotoBytes:    10 << 20,
	PhotoSum:      10000,
	PhotoRatio:    20,
	DocumentBytes: 50 << 20,
	DownloadBytes: 20 << 20,

	UpdatesPerPoll: 100,
	PollBytes:      1 << 22,
	PollTimeout:    50,
	SamePoll:       500 * time.Millisecond,
	UpdateLife:     24 * time.Hour,
	CallbackLife:   150 * time.Second,
	IdleIDs:        7 * 24 * time.Hour,

	WebhookConnections: 100,
	WebhookSecret:      256,
	WebhookPorts:       []string{"443", "80", "88", "8443"},
	DeleteAge:          48 * time.Hour,

	ChatPerSecond:  1,
	ChatBurst:      5,
	GroupPerMinute: 20,
	TotalPerSecond: 30,
}
