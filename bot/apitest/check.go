package apitest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// params are a request's fields with their types checked: string, bool,
// json.Number, []any and map[string]any. A file is a string: a file_id, or
// "attach://" and the name of an upload.
type params map[string]any

func (p params) text(name string) string {
	s, _ := p[name].(string)
	return s
}

func (p params) number(name string) int64 {
	n, _ := p[name].(json.Number)
	i, _ := n.Int64()
	return i
}

func (p params) flag(name string) bool {
	b, _ := p[name].(bool)
	return b
}

func (p params) object(name string) params {
	o, _ := p[name].(map[string]any)
	return o
}

func (p params) has(name string) bool {
	_, ok := p[name]
	return ok
}

// checkCall turns a call into params by its method's schema: no unknown field,
// no wrong type, nothing required left out, no upload that nothing uses.
func checkCall(s *schema, c *call) (params, error) {
	raw := make(map[string]any)
	for name, text := range c.form {
		f, known := s.field(name)
		if !known {
			return nil, malformed("%s has no field %q", s.name, name)
		}
		v, err := fromText(f, text)
		if err != nil {
			return nil, err
		}
		raw[name] = v
	}
	for name, v := range c.json {
		if _, twice := raw[name]; twice {
			return nil, malformed("field %q is given twice", name)
		}
		raw[name] = v
	}
	used := make(map[string]bool)
	for name := range c.uploads {
		if f, known := s.field(name); known && f.types[0] == "file" {
			if _, twice := raw[name]; twice {
				return nil, malformed("field %q is given twice", name)
			}
			raw[name] = "attach://" + name
		}
	}
	ck := checker{call: c, used: used}
	if err := ck.object(s, raw, ""); err != nil {
		return nil, err
	}
	for name := range c.uploads {
		if !used[name] {
			return nil, malformed("nothing uses the uploaded file %q", name)
		}
	}
	return raw, nil
}

// fromText reads a form's text as what the field wants.
func fromText(f field, text string) (any, error) {
	switch f.types[0] {
	case "string", "file":
		return text, nil
	case "chat":
		if _, err := strconv.ParseInt(text, 10, 64); err == nil {
			return json.Number(text), nil
		}
		return text, nil
	}
	d := json.NewDecoder(bytes.NewReader([]byte(text)))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil || d.More() {
		return nil, malformed("can't parse field %q: %q", f.name, clip(text))
	}
	return v, nil
}

// clip keeps a long text out of an error.
func clip(text string) string {
	if len(text) > 80 {
		return text[:80] + "…"
	}
	return text
}

type checker struct {
	call *call
	used map[string]bool
}

func (ck *checker) object(s *schema, o map[string]any, at string) error {
	for name, v := range o {
		f, known := s.field(name)
		if !known {
			return malformed("%s has no field %q", strings.TrimSuffix(s.name+" "+at, " "), name)
		}
		if err := ck.value(f.types, v, strings.TrimPrefix(at+"."+name, ".")); err != nil {
			return err
		}
	}
	for _, f := range s.fields {
		if _, given := o[f.name]; f.required && !given {
			switch {
			case at == "" && f.name == "chat_id":
				return malformed("chat_id is empty")
			case at == "" && f.name == "text" && s.name != "answerCallbackQuery":
				return malformed("message text is empty")
			}
			return malformed("%s needs %q", strings.TrimSuffix(s.name+" "+at, " "), f.name)
		}
	}
	return nil
}

// value checks v against the types; of several the first that fits will do,
// and the error is that of the one that its fields point at.
func (ck *checker) value(types []string, v any, at string) error {
	if len(types) == 1 {
		return ck.one(types[0], v, at)
	}
	for _, t := range types {
		if ck.looksLike(t, v) {
			return ck.one(t, v, at)
		}
	}
	return malformed("%s is none of %s", at, strings.Join(types, ", "))
}

// looksLike tells a union's members, which are objects, apart: by their type,
// or by their first field, which is always required.
func (ck *checker) looksLike(t string, v any) bool {
	o, _ := v.(map[string]any)
	if kind, ok := strings.CutPrefix(t, "InputMedia"); ok {
		return o["type"] == strings.ToLower(kind)
	}
	_, has := o[objects[t].fields[0].name]
	return has
}

var username = regexp.MustCompile(`^@[A-Za-z][A-Za-z0-9_]{3,31}$`)

func (ck *checker) one(t string, v any, at string) error {
	wrong := malformed("%s must be %s", at, t)
	if inner, isList := strings.CutPrefix(t, "[]"); isList {
		list, ok := v.([]any)
		if !ok {
			return wrong
		}
		for i, item := range list {
			if err := ck.one(inner, item, fmt.Sprintf("%s[%d]", at, i)); err != nil {
				return err
			}
		}
		return nil
	}
	text, isText := v.(string)
	if isText && !utf8.ValidString(text) {
		return malformed("strings must be encoded in UTF-8: %s", at)
	}
	n, isNumber := v.(json.Number)
	_, notWhole := n.Int64()
	ok := false
	switch t {
	case "string":
		ok = isText
	case "bool":
		_, ok = v.(bool)
	case "int":
		ok = isNumber && notWhole == nil
	case "chat":
		ok = isNumber && notWhole == nil || isText && username.MatchString(text)
	case "file":
		if name, attached := strings.CutPrefix(text, "attach://"); attached {
			if _, here := ck.call.uploads[name]; !here {
				return malformed("%s: no file was uploaded as %q", at, name)
			}
			ck.used[name] = true
		}
		ok = isText && text != ""
	default:
		o, isObject := v.(map[string]any)
		if t == "KeyboardButton" && isText {
			return nil // a text stands for a button with no more than that
		}
		if !isObject {
			return wrong
		}
		return ck.object(objects[t], o, at)
	}
	if !ok {
		return wrong
	}
	return nil
}
