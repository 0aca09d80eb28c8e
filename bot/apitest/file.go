package apitest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	_ "image/jpeg" // photos are read to their end
	_ "image/png"  // ditto
	"mime"
	"net/http"
	"path"
	"strings"
)

// A File is one that was sent, by the bot or by a person. All messages that
// carry the same file_id share it.
type File struct {
	ID      string `json:"id"`   // file_id
	Kind    string `json:"kind"` // photo, document, voice, audio
	Name    string `json:"name,omitempty"`
	MIME    string `json:"mime,omitempty"`
	Size    int    `json:"size"` // bytes, as the platform says; 0 where it does not
	SHA256  string `json:"sha256"`
	Width   int    `json:"width,omitempty"`   // pixels
	Height  int    `json:"height,omitempty"`  // pixels
	Seconds int    `json:"seconds,omitempty"` // of a voice message or audio
	Data    []byte `json:"-"`

	unique string
	path   string
	sizes  []string // file_ids of a photo's smaller sizes
	gone   bool     // the platform has it no more
}

// keep files the bytes under a new file_id. s.mu is held.
func (s *Server) keep(kind, name string, data []byte) *File {
	sum := sha256.Sum256(data)
	n := len(s.files) + 1
	f := &File{Kind: kind, Name: name, Data: data, Size: len(data), SHA256: hex.EncodeToString(sum[:]),
		ID:     fmt.Sprintf("AgAC%s%06dAAx-%x", strings.ToUpper(kind[:1]), n, sum[:12]),
		unique: fmt.Sprintf("AQAD%x", sum[:6])}
	folder := map[string]string{"photo": "photos", "document": "documents", "voice": "voice", "audio": "music"}[kind]
	ext := path.Ext(name)
	f.MIME = mime.TypeByExtension(ext)
	switch kind {
	case "photo":
		ext, f.Name, f.MIME = ".jpg", "", ""
	case "voice":
		ext, f.Name, f.MIME, f.Seconds = ".oga", "", "audio/ogg", 1
	}
	f.path = fmt.Sprintf("%s/file_%d%s", folder, n, ext)
	s.files[f.ID] = f
	return f
}

// keepPhoto is keep for a picture, which must be whole. s.mu is held.
func (s *Server) keepPhoto(data []byte) (*File, error) {
	if len(data) > Limits.PhotoBytes {
		return nil, malformed("file is too big: %d bytes", len(data))
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, malformed("IMAGE_PROCESS_FAILED: %v", err)
	}
	w, h := picture.Bounds().Dx(), picture.Bounds().Dy()
	if w+h > Limits.PhotoSum || max(w, h) > Limits.PhotoRatio*min(w, h) {
		return nil, malformed("PHOTO_INVALID_DIMENSIONS: %d x %d", w, h)
	}
	f := s.keep("photo", "", data)
	s.measure(f, w, h)
	return f, nil
}

// sides are how long the longer side of a photo's smaller sizes is.
var sides = []int{90, 320, 800, 1280}

// measure gives a photo its smaller sizes, which hold the same bytes. s.mu is
// held.
func (s *Server) measure(f *File, w, h int) {
	f.Width, f.Height = w, h
	for _, side := range sides {
		if side < max(w, h) {
			id := fmt.Sprintf("%s-%d", f.ID, side)
			f.sizes = append(f.sizes, id)
			s.files[id] = f
		}
	}
}

// api is the field of a message that carries the file, and its value.
func (f *File) api() (string, any) {
	o := map[string]any{"file_id": f.ID, "file_unique_id": f.unique}
	if f.Size != 0 {
		o["file_size"] = f.Size
	}
	switch f.Kind {
	case "photo":
		sizes := []map[string]any{}
		for i, id := range f.sizes {
			side, long := sides[i], max(f.Width, f.Height)
			sizes = append(sizes, map[string]any{"file_id": id, "file_unique_id": fmt.Sprintf("%s-%d", f.unique, side),
				"width": max(1, f.Width*side/long), "height": max(1, f.Height*side/long)})
		}
		o["width"], o["height"] = f.Width, f.Height
		return "photo", append(sizes, o)
	case "voice", "audio":
		o["duration"] = f.Seconds
	}
	if f.Name != "" {
		o["file_name"] = f.Name
	}
	if f.MIME != "" {
		o["mime_type"] = f.MIME
	}
	return f.Kind, o
}

// take is the file that a field names: one uploaded with the request, or one
// sent before. s.mu is held.
func (s *Server) take(kind, value string, c *call) (*File, error) {
	if field, attached := strings.CutPrefix(value, "attach://"); attached {
		u := c.uploads[field]
		if kind == "photo" {
			return s.keepPhoto(u.Data)
		}
		if u.Size > Limits.DocumentBytes {
			return nil, malformed("file is too big: %d bytes", u.Size)
		}
		if kind == "voice" && !isOpus(u.Data) {
			return nil, malformed("a voice message is an OGG file encoded with Opus")
		}
		return s.keep(kind, u.Name, u.Data), nil
	}
	if strings.Contains(value, "://") {
		return nil, unmodelled("files by URL")
	}
	f := s.files[value]
	if f == nil {
		return nil, malformed("wrong file identifier/HTTP URL specified")
	}
	if f.Kind != kind {
		return nil, malformed("can't use file of type %s as %s", f.Kind, kind)
	}
	return f, nil
}

// isOpus looks at the first page of an OGG stream: RFC 3533, section 6, and RFC
// 7845, section 5.1.
func isOpus(data []byte) bool {
	if len(data) < 27 || string(data[:4]) != "OggS" {
		return false
	}
	payload := data[min(len(data), 27+int(data[26])):]
	return bytes.HasPrefix(payload, []byte("OpusHead"))
}

func (s *Server) getFile(p params, _ *call) (any, error) {
	f := s.files[p.text("file_id")]
	switch {
	case f == nil:
		return nil, malformed("invalid file_id")
	case f.gone:
		return nil, misplaced("wrong file_id or the file is temporarily unavailable")
	case f.Size > Limits.DownloadBytes:
		return nil, misplaced("file is too big")
	}
	o := map[string]any{"file_id": f.ID, "file_unique_id": f.unique, "file_path": f.path}
	if f.Size != 0 {
		o["file_size"] = f.Size
	}
	return o, nil
}

// download is the name under which a file's download is recorded, and under
// which trouble strikes it.
const download = "download"

// serveFile serves a file by its file_path.
func (s *Server) serveFile(w http.ResponseWriter, r *http.Request, name string) {
	c := &call{method: download, form: map[string]string{"file_path": name}}
	trouble := s.troubleFor(c)
	req := Request{Method: download, Params: c.raw(), Trouble: trouble.name()}
	if trouble != nil && trouble.Kind != CutAfter {
		s.wait(r, trouble.Delay)
	}
	if trouble != nil && trouble.Kind == CutBefore {
		s.record(req, nil)
		panic(http.ErrAbortHandler)
	}
	s.mu.Lock()
	var found *File
	for _, f := range s.files {
		if f.path == name {
			found = f
		}
	}
	s.mu.Unlock()
	switch {
	case found == nil:
		s.refuseOutside(w, r, http.StatusNotFound, "Not Found")
		return
	case trouble != nil && (trouble.Kind == ServerError || trouble.Kind == TooMany):
		if req.Status = trouble.status(); trouble.Kind == TooMany {
			req.Status = http.StatusTooManyRequests
		}
		s.record(req, nil)
		http.Error(w, r.URL.Path, req.Status)
		return
	}
	req.Status, req.Accepted = http.StatusOK, true
	s.record(req, nil)
	w.Header().Set("Content-Type", "application/octet-stream")
	if trouble != nil && trouble.Kind == CutAfter {
		_, _ = w.Write(found.Data[:len(found.Data)/2])
		_ = http.NewResponseController(w).Flush()
		s.wait(r, trouble.Delay)
		panic(http.ErrAbortHandler)
	}
	_, _ = w.Write(found.Data) // the client may be gone
}
