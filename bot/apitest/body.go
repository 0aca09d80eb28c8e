package apitest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
)

// An Upload is one file that came with a request.
type Upload struct {
	Field  string `json:"field"`  // the name of the part
	Name   string `json:"name"`   // the file's name
	Size   int    `json:"size"`   // bytes
	SHA256 string `json:"sha256"` // of the bytes, in hex
	Data   []byte `json:"-"`
}

// A call is a request as it was read, before its fields are looked at.
type call struct {
	method  string
	form    map[string]string // from a query or a form: all text
	json    map[string]any    // from a JSON body
	uploads map[string]Upload
	order   []Upload
}

// errGone is the end of a client in the middle of its request.
var errGone = errors.New("the client broke off its request")

// readCall reads the whole request. An error is errGone, or names what is
// wrong with the request's form.
func readCall(r *http.Request, method string) (*call, error) {
	c := &call{method: method, form: make(map[string]string), uploads: make(map[string]Upload)}
	if err := c.addForm(r.URL.Query()); err != nil {
		return c, err
	}
	if r.Method != http.MethodGet && r.Method != http.MethodPost {
		return c, &refusal{code: http.StatusMethodNotAllowed, class: Malformed, text: "Method Not Allowed"}
	}
	body, err := io.ReadAll(io.LimitReader(r.Body, int64(Limits.DocumentBytes)+1<<20))
	if err != nil {
		return c, errGone
	}
	header := r.Header.Get("Content-Type")
	kind, options, err := mime.ParseMediaType(header)
	switch {
	case len(body) == 0 && (err != nil || kind != "multipart/form-data"):
		return c, nil
	case err != nil:
		return c, malformed("content type %q: %v", header, err)
	}
	switch kind {
	case "application/json":
		d := json.NewDecoder(bytes.NewReader(body))
		d.UseNumber()
		if err := d.Decode(&c.json); err != nil {
			return c, malformed("can't parse the JSON body: %v", err)
		}
		if _, err := d.Token(); !errors.Is(err, io.EOF) {
			return c, malformed("the body goes on after its JSON object")
		}
		return c, nil
	case "application/x-www-form-urlencoded":
		values, err := url.ParseQuery(string(body))
		if err != nil {
			return c, malformed("can't parse the form: %v", err)
		}
		return c, c.addForm(values)
	case "multipart/form-data":
		// A client without a field to send may send no byte at all.
		end := "--" + options["boundary"] + "--"
		if len(body) > 0 && !bytes.HasSuffix(bytes.TrimRight(body, "\r\n"), []byte(end)) {
			return c, malformed("the upload is truncated: no closing boundary")
		}
		return c, c.addParts(multipart.NewReader(bytes.NewReader(body), options["boundary"]))
	}
	return c, malformed("content type %q is not taken", header)
}

func (c *call) addForm(values url.Values) error {
	for name, all := range values {
		if _, twice := c.form[name]; twice || len(all) > 1 {
			return malformed("field %q is given twice", name)
		}
		c.form[name] = all[0]
	}
	return nil
}

// addParts reads every part to its end.
func (c *call) addParts(parts *multipart.Reader) error {
	for {
		part, err := parts.NextRawPart()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return malformed("the upload is truncated: %v", err)
		}
		data, err := io.ReadAll(part)
		if err != nil {
			return malformed("the upload is truncated in %q: %v", part.FormName(), err)
		}
		name := part.FormName()
		_, isFile := c.uploads[name]
		_, isField := c.form[name]
		switch {
		case name == "":
			return malformed("a part of the form has no name")
		case isFile || isField:
			return malformed("field %q is given twice", name)
		case part.FileName() == "":
			c.form[name] = string(data)
		case len(data) == 0:
			return malformed("file must be non-empty: %q", name)
		default:
			sum := sha256.Sum256(data)
			u := Upload{Field: name, Name: part.FileName(), Size: len(data), SHA256: hex.EncodeToString(sum[:]), Data: data}
			c.uploads[name] = u
			c.order = append(c.order, u)
		}
	}
}

// raw is what was read, for the record of a request that cannot be understood.
func (c *call) raw() json.RawMessage {
	all := make(map[string]any)
	for name, text := range c.form {
		all[name] = text
	}
	maps.Copy(all, c.json)
	return jsonOf(all)
}
