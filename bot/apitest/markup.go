package apitest

import (
	"net/url"
	"regexp"
	"strings"
)

var (
	deepLink    = regexp.MustCompile(`(?:t\.me|telegram\.me)/[A-Za-z0-9_]+/?\?([^\s"'<>]*)`)
	linkPayload = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)
)

// checkLinks holds the deep links in a text or a button to their form. The
// platform would send them, and they would not work.
func checkLinks(text string) error {
	for _, m := range deepLink.FindAllStringSubmatch(text, -1) {
		query, err := url.ParseQuery(m[1])
		if err != nil {
			return malformed("deep link %q: %v", clip(m[0]), err)
		}
		for _, name := range []string{"start", "startgroup"} {
			payload := query.Get(name)
			if query.Has(name) && (len(payload) > Limits.DeepLink || !linkPayload.MatchString(payload)) {
				return malformed("deep link payload %q", clip(payload))
			}
		}
	}
	return nil
}

// checkMarkup holds a reply_markup, whose types are right, to the rules.
func checkMarkup(markup params, kind string) error {
	switch {
	case markup == nil:
		return nil
	case markup.has("inline_keyboard"):
		return checkInline(markup, kind)
	case markup.has("remove_keyboard"):
		if !markup.flag("remove_keyboard") {
			return malformed("remove_keyboard must be true")
		}
		return nil
	case markup.has("force_reply") && !markup.flag("force_reply"):
		return malformed("force_reply must be true")
	}
	if hint, given := markup["input_field_placeholder"].(string); given && (hint == "" || units(hint) > Limits.Placeholder) {
		return malformed("input_field_placeholder of %d characters", units(hint))
	}
	if !markup.has("keyboard") {
		return nil
	}
	count := 0
	rows, _ := markup["keyboard"].([]any)
	for _, row := range rows {
		keys := row.([]any)
		if len(keys) == 0 {
			return malformed("keyboard has an empty row")
		}
		for _, key := range keys {
			text, isText := key.(string)
			if !isText {
				p := params(key.(map[string]any))
				text = p.text("text")
				if kind != kindPrivate && (p.flag("request_contact") || p.flag("request_location")) {
					return malformed("phone number and location can be requested in private chats only")
				}
				if err := checkStyle(p); err != nil {
					return err
				}
			}
			if strings.TrimSpace(text) == "" {
				return malformed("keyboard button text must be non-empty")
			}
			count++
		}
	}
	if count == 0 || count > Limits.KeyboardButtons {
		return malformed("keyboard of %d buttons", count)
	}
	return nil
}

func checkStyle(p params) error {
	switch style := p.text("style"); style {
	case "", "danger", "success", "primary":
		return nil
	default:
		return malformed("button style %q", style)
	}
}

// checkInline holds an inline keyboard to the rules; each button does one thing.
func checkInline(markup params, kind string) error {
	count := 0
	rows, _ := markup["inline_keyboard"].([]any)
	for _, row := range rows {
		for _, b := range row.([]any) {
			count++
			p := params(b.(map[string]any))
			if strings.TrimSpace(p.text("text")) == "" {
				return malformed("text buttons are unallowed in the inline keyboard: a button without text")
			}
			if err := checkStyle(p); err != nil {
				return err
			}
			if err := checkAction(p, kind); err != nil {
				return err
			}
		}
	}
	if count > Limits.KeyboardButtons {
		return malformed("inline keyboard of %d buttons", count)
	}
	return nil
}

func checkAction(p params, kind string) error {
	var actions []string
	for _, name := range []string{"url", "callback_data", "web_app", "login_url", "switch_inline_query",
		"switch_inline_query_current_chat", "switch_inline_query_chosen_chat", "copy_text", "pay"} {
		// A copy_text without text is what some clients write for none.
		if p.has(name) && (name != "copy_text" || p.object(name).text("text") != "") {
			actions = append(actions, name)
		}
	}
	if len(actions) != 1 {
		return malformed("button %q does %d things: %s", clip(p.text("text")), len(actions), strings.Join(actions, ", "))
	}
	switch actions[0] {
	case "callback_data":
		if n := len(p.text("callback_data")); n < 1 || n > Limits.CallbackData {
			return malformed("BUTTON_DATA_INVALID: %d bytes", n)
		}
	case "url":
		u, err := url.Parse(p.text("url"))
		if err != nil || u.Scheme != "http" && u.Scheme != "https" && u.Scheme != "tg" || u.Host == "" {
			return malformed("BUTTON_URL_INVALID: %q", clip(p.text("url")))
		}
		return checkLinks(p.text("url"))
	case "copy_text":
		if units(p.object("copy_text").text("text")) > 256 {
			return malformed("BUTTON_COPY_TEXT_INVALID")
		}
	default:
		return unmodelled("buttons with %s, in a %s chat", actions[0], kind)
	}
	return nil
}
