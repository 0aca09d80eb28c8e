package apitest

import (
	"encoding/json"
	"maps"
	"reflect"
	"time"
)

// A User is a person, or a bot.
type User struct {
	ID           int64  `json:"id"`
	IsBot        bool   `json:"is_bot"`
	FirstName    string `json:"first_name"`
	LastName     string `json:"last_name,omitempty"`
	Username     string `json:"username,omitempty"`
	LanguageCode string `json:"language_code,omitempty"`
}

// A Button is one of an inline keyboard.
type Button struct {
	Text string `json:"text"`
	Data string `json:"callback_data,omitempty"`
	URL  string `json:"url,omitempty"`
}

// A Message is one as a person sees it now, after edits.
type Message struct {
	ChatID   int64      `json:"chat_id"`
	ID       int        `json:"id"`
	Topic    int        `json:"topic,omitempty"`    // the forum topic it is in
	From     User       `json:"from"`               // the bot's own messages have IsBot
	Date     time.Time  `json:"date"`               //
	Edited   time.Time  `json:"edited,omitzero"`    // when last
	ReplyTo  int        `json:"reply_to,omitempty"` //
	Text     string     `json:"text,omitempty"`
	Caption  string     `json:"caption,omitempty"`
	Photo    *File      `json:"photo,omitempty"`
	Document *File      `json:"document,omitempty"`
	Voice    *File      `json:"voice,omitempty"`
	Audio    *File      `json:"audio,omitempty"`
	Buttons  [][]Button `json:"buttons,omitempty"`  // its inline keyboard
	Keys     [][]string `json:"keys,omitempty"`     // the reply keyboard that came with it
	Reaction string     `json:"reaction,omitempty"` // the bot's
	Service  string     `json:"service,omitempty"`  // the kind of a service message

	entities []any
	markup   map[string]any // reply_markup as it was sent
	extra    map[string]any // more fields as the Bot API has them
	thread   int            // message_thread_id, also where there is no topic
}

// file is what the message carries, or nil.
func (m *Message) file() *File {
	switch {
	case m.Photo != nil:
		return m.Photo
	case m.Document != nil:
		return m.Document
	case m.Audio != nil:
		return m.Audio
	}
	return m.Voice
}

// shown copies a message for whoever reads it.
func (m *Message) shown() Message {
	c := *m
	c.entities, c.markup, c.extra = nil, nil, nil
	return c
}

// setMarkup takes a reply_markup as it was sent.
func (m *Message) setMarkup(markup map[string]any) {
	m.markup, m.Buttons, m.Keys = markup, nil, nil
	rows, _ := markup["inline_keyboard"].([]any)
	for _, row := range rows {
		var shown []Button
		for _, b := range row.([]any) {
			p := params(b.(map[string]any))
			shown = append(shown, Button{Text: p.text("text"), Data: p.text("callback_data"), URL: p.text("url")})
		}
		m.Buttons = append(m.Buttons, shown)
	}
	if len(rows) == 0 && markup["inline_keyboard"] != nil {
		m.markup = nil // an empty keyboard takes the old one away
	}
	rows, _ = markup["keyboard"].([]any)
	for _, row := range rows {
		var shown []string
		for _, key := range row.([]any) {
			text, isText := key.(string)
			if !isText {
				text = params(key.(map[string]any)).text("text")
			}
			shown = append(shown, text)
		}
		m.Keys = append(m.Keys, shown)
	}
}

// sameMarkup reports whether two inline keyboards look and act the same.
func sameMarkup(a, b map[string]any) bool {
	return len(a) == 0 && len(b) == 0 || reflect.DeepEqual(a, b)
}

// api is the message as the Bot API gives it; deep: with the message replied to.
func (s *Server) api(m *Message, deep bool) map[string]any {
	c := s.chats[m.ChatID]
	o := map[string]any{"message_id": m.ID, "date": m.Date.Unix(), "chat": c.api(), "from": m.From}
	maps.Copy(o, m.extra)
	if m.thread != 0 {
		o["message_thread_id"] = m.thread
	}
	if m.Topic != 0 {
		o["is_topic_message"] = true
	}
	if !m.Edited.IsZero() {
		o["edit_date"] = m.Edited.Unix()
	}
	if to := c.byID[m.ReplyTo]; to != nil && deep {
		o["reply_to_message"] = s.api(to, false)
	}
	if m.Text != "" {
		o["text"] = m.Text
	}
	entities := "entities"
	if f := m.file(); f != nil {
		kind, value := f.api()
		o[kind] = value
		entities = "caption_entities"
		if m.Caption != "" {
			o["caption"] = m.Caption
		}
	}
	if len(m.entities) > 0 {
		o[entities] = m.entities
	}
	if m.markup["inline_keyboard"] != nil {
		o["reply_markup"] = m.markup
	}
	return o
}

// jsonOf marshals what was made here.
func jsonOf(v any) json.RawMessage {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}
