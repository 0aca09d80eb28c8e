package apitest_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"rodcall/bot/apitest"
)

// note is a voice message as the platform takes them.
func note(t *testing.T) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "voice", "testdata", "note.opus"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestSendVoice(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	chat := map[string]string{"chat_id": fmt.Sprint(c.ID())}
	data := note(t)
	kind, body := form(t, chat, map[string][]byte{"voice": data})
	if a := upload(t, srv, "sendVoice", kind, body); !a.OK {
		t.Fatalf("%+v", a)
	}
	if list := c.FromBot(); len(list) != 1 || list[0].Voice == nil || !bytes.Equal(list[0].Voice.Data, data) {
		t.Errorf("on the screen: %+v", list)
	}
	for name, bad := range map[string][]byte{
		"a text": []byte("hello there, this is no sound at all"), "a cut page": data[:27],
		"another stream": bytes.Replace(data, []byte("OpusHead"), []byte("OpusHeap"), 1),
	} {
		kind, body := form(t, chat, map[string][]byte{"voice": bad})
		if a := upload(t, srv, "sendVoice", kind, body); a.OK {
			t.Errorf("%s was taken for a voice message", name)
		}
	}
	kind, body = form(t, chat, map[string][]byte{"voice": data})
	if a := upload(t, srv, "sendVoice", kind, body[:len(body)/2]); a.OK {
		t.Error("half an upload was taken")
	}
	refused(t, srv, "sendVoice", fields{"chat_id": c.ID()}, 400, "needs")
}

func TestDownloads(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	data := note(t)
	id := func(a apitest.Attachment) string {
		t.Helper()
		a.Kind, a.Data = "voice", data
		c.Attach(ana, a)
		all := c.Messages()
		return all[len(all)-1].Voice.ID
	}
	// A connection of its own each time: what is cut is else asked again.
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	fetch := func(id string) (int, []byte, error) {
		t.Helper()
		path := result[map[string]any](t, must(t, srv, "getFile", fields{"file_id": id}))["file_path"].(string)
		resp, err := client.Get(srv.URL() + "/file/bot" + srv.Token() + "/" + path)
		if err != nil {
			return 0, nil, err
		}
		defer func() { _ = resp.Body.Close() }()
		b, err := io.ReadAll(resp.Body)
		return resp.StatusCode, b, err
	}
	refused(t, srv, "getFile", fields{"file_id": id(apitest.Attachment{Gone: true})}, 400, "temporarily unavailable")
	refused(t, srv, "getFile", fields{"file_id": id(apitest.Attachment{Size: 21 << 20})}, 400, "too big")
	file := id(apitest.Attachment{Seconds: 9, Size: -1})
	if code, b, err := fetch(file); code != 200 || !bytes.Equal(b, data) || err != nil {
		t.Errorf("download: %d, %d bytes, %v", code, len(b), err)
	}
	srv.Inject(apitest.Trouble{Kind: apitest.ServerError, Method: "download"})
	if code, _, _ := fetch(file); code != 502 {
		t.Errorf("a failed download: %d", code)
	}
	srv.Inject(apitest.Trouble{Kind: apitest.CutBefore, Method: "download"})
	if _, _, err := fetch(file); err == nil {
		t.Error("a cut download comes back whole")
	}
	srv.Inject(apitest.Trouble{Kind: apitest.CutAfter, Method: "download"})
	if _, b, err := fetch(file); err == nil || len(b) == 0 || len(b) >= len(data) {
		t.Errorf("half a download: %d bytes of %d, %v", len(b), len(data), err)
	}
	if n := len(srv.Requests("download")); n != 4 {
		t.Errorf("%d downloads are recorded, want 4", n)
	}
}
