package store

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"strings"
)

// theirs is how deep in an update its sender and its chat stand at most: in what
// the update carries. What stands deeper is only quoted.
const theirs = 2

// wrote says whether an update is of the person, or of the chat with them.
func (p Person) wrote(raw []byte) bool {
	_, wrote := p.blank(raw)
	return wrote
}

// blank takes a person out of an update that others sent: objects with the
// person's id keep nothing but that they are there, and the name where it stands
// by itself becomes "". wrote says whether the update is the person's own. What
// is no JSON is theirs where it holds the id or the name.
//
// Updates are the adapter's. This knows of them only that they are JSON, that a
// sender stands under "from" and a chat under "chat", and that the id by which
// the platform knows somebody is the one here without what stands before its
// colon.
func (p Person) blank(raw []byte) (clean []byte, wrote bool) {
	if p.Platform == "" {
		return raw, false
	}
	id := p.bare()
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var update any
	if err := d.Decode(&update); err != nil {
		return nil, true
	}
	b := blanking{id: id, name: p.Name}
	update = b.walk(update, "", 0)
	if !b.found {
		return raw, false
	}
	clean, err := json.Marshal(update)
	if err != nil {
		return nil, true
	}
	return clean, b.wrote
}

// bare is the id as the platform writes it.
func (p Person) bare() string { return p.Platform[strings.IndexByte(p.Platform, ':')+1:] }

// unnamed is a sentence without the person's id and name.
func (p Person) unnamed(text string) string {
	text = strings.ReplaceAll(text, p.bare(), "?")
	if p.Name != "" {
		text = strings.ReplaceAll(text, p.Name, "?")
	}
	return text
}

type blanking struct {
	id, name     string
	found, wrote bool
}

func (b *blanking) walk(v any, key string, depth int) any {
	switch v := v.(type) {
	case map[string]any:
		if b.is(v["id"]) {
			b.hit(key, depth)
			return map[string]any{"id": json.Number("0"), "is_bot": false}
		}
		for k, in := range v {
			v[k] = b.walk(in, k, depth+1)
		}
	case []any:
		for i, in := range v {
			v[i] = b.walk(in, key, depth+1)
		}
	case json.Number:
		if (key == "id" || strings.HasSuffix(key, "user_id") || strings.HasSuffix(key, "chat_id")) && b.is(v) {
			b.hit(key, depth)
			return json.Number("0")
		}
	case string:
		if key != "text" && key != "caption" && (v == b.id || v == b.name && v != "") {
			b.hit(key, depth)
			return ""
		}
		if b.within(v) {
			b.hit("", depth)
			return nil
		}
	}
	return v
}

// within says whether a text is another update, as bytes of JSON are in JSON, that
// holds the person.
func (b *blanking) within(text string) bool {
	raw, err := base64.StdEncoding.DecodeString(text)
	if err != nil || !bytes.HasPrefix(raw, []byte("{")) {
		return false
	}
	return bytes.Contains(raw, []byte(b.id)) || b.name != "" && bytes.Contains(raw, []byte(b.name))
}

func (b *blanking) is(id any) bool {
	switch id := id.(type) {
	case json.Number:
		return id.String() == b.id
	case string:
		return id == b.id
	}
	return false
}

func (b *blanking) hit(key string, depth int) {
	b.found = true
	if depth <= theirs && (key == "from" || key == "chat") {
		b.wrote = true
	}
}
