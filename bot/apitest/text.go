package apitest

import (
	"encoding/json"
	"html"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"
)

// units is the length of a text as the platform counts offsets: in UTF-16.
func units(text string) int { return len(utf16.Encode([]rune(text))) }

var (
	tag  = regexp.MustCompile(`<(/?)([a-z][a-z-]*)((?:\s+[a-z]+(?:="[^"<>]*")?)*)\s*>`)
	tags = map[string]string{"b": "bold", "strong": "bold", "i": "italic", "em": "italic", "u": "underline",
		"ins": "underline", "s": "strikethrough", "strike": "strikethrough", "del": "strikethrough",
		"tg-spoiler": "spoiler", "code": "code", "pre": "pre", "blockquote": "blockquote", "a": "text_link"}
	entity = regexp.MustCompile(`&(?:lt|gt|amp|quot|#[0-9]+|#x[0-9a-fA-F]+);`)
	href   = regexp.MustCompile(`^\s+href="([^"]*)"$`)
)

// parseText takes a text by its parse_mode: what is shown, and its entities.
func parseText(text, mode string, given any) (string, []any, error) {
	entities, _ := given.([]any)
	switch {
	case mode == "":
		return text, entities, checkEntities(text, entities)
	case strings.EqualFold(mode, "HTML"):
	case strings.EqualFold(mode, "Markdown"), strings.EqualFold(mode, "MarkdownV2"):
		return "", nil, unmodelled("parse_mode %s", mode)
	default:
		return "", nil, malformed("unsupported parse_mode")
	}
	var shown strings.Builder
	type open struct {
		name string
		o    map[string]any
		at   int
	}
	var stack []open
	length := 0
	plain := func(s string) error {
		if strings.Contains(s, "<") {
			return malformed("can't parse entities: unsupported start tag at %q", clip(s))
		}
		s = entity.ReplaceAllStringFunc(s, html.UnescapeString)
		length += units(s)
		shown.WriteString(s)
		return nil
	}
	entities = nil
	at := 0
	for _, m := range tag.FindAllStringSubmatchIndex(text, -1) {
		if err := plain(text[at:m[0]]); err != nil {
			return "", nil, err
		}
		at = m[1]
		name, attributes := text[m[4]:m[5]], text[m[6]:m[7]]
		if text[m[2]:m[3]] == "/" {
			if len(stack) == 0 || stack[len(stack)-1].name != name {
				return "", nil, malformed("can't parse entities: unmatched end tag %q", name)
			}
			top := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if length > top.at {
				top.o["length"] = json.Number(strconv.Itoa(length - top.at))
				entities = append(entities, top.o)
			}
			continue
		}
		kind, known := tags[name]
		if !known {
			return "", nil, malformed("can't parse entities: unsupported start tag %q", name)
		}
		o := map[string]any{"type": kind, "offset": json.Number(strconv.Itoa(length))}
		if name == "a" {
			link := href.FindStringSubmatch(attributes)
			if link == nil {
				return "", nil, malformed("can't parse entities: tag \"a\" has no href")
			}
			o["url"] = html.UnescapeString(link[1])
		}
		stack = append(stack, open{name, o, length})
	}
	if err := plain(text[at:]); err != nil {
		return "", nil, err
	}
	if len(stack) > 0 {
		return "", nil, malformed("can't parse entities: can't find end tag of %q", stack[0].name)
	}
	return shown.String(), entities, checkEntities(shown.String(), entities)
}

// checkEntities holds entities to the text they mark.
func checkEntities(text string, entities []any) error {
	if len(entities) > Limits.Entities {
		return malformed("%d entities", len(entities))
	}
	length := int64(units(text))
	for _, e := range entities {
		p := params(e.(map[string]any))
		at, n := p.number("offset"), p.number("length")
		if at < 0 || n <= 0 || at+n > length {
			return malformed("entity %s at %d+%d is beyond the text", p.text("type"), at, n)
		}
	}
	return nil
}

var marks = regexp.MustCompile(`(?:^|\s)(/[A-Za-z0-9_]{1,64}(?:@[A-Za-z0-9_]{3,32})?|@[A-Za-z][A-Za-z0-9_]{3,31}|https?://[^\s]+)`)

// entitiesOf finds the commands, mentions and addresses that a person's text
// holds, as the platform marks them.
func entitiesOf(text string) []any {
	var found []any
	for _, m := range marks.FindAllStringSubmatchIndex(text, -1) {
		word := text[m[2]:m[3]]
		kind := "url"
		switch word[0] {
		case '/':
			kind = "bot_command"
		case '@':
			kind = "mention"
		}
		found = append(found, map[string]any{"type": kind, "offset": units(text[:m[2]]), "length": units(word)})
	}
	return found
}
