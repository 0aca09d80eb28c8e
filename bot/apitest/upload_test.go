package apitest_test

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// sizes are a photo's sizes in an answer.
type sizes struct {
	Photo []struct {
		ID     string `json:"file_id"`
		Width  int    `json:"width"`
		Height int    `json:"height"`
		Size   int    `json:"file_size"`
	} `json:"photo"`
	Document struct {
		ID   string `json:"file_id"`
		Name string `json:"file_name"`
		MIME string `json:"mime_type"`
	} `json:"document"`
}

func TestFilesComeBackTheSame(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	data := picture(t, 400, 200)
	kind, body := form(t, map[string]string{"chat_id": fmt.Sprint(c.ID()), "caption": "Pad 4"}, map[string][]byte{"photo": data})
	a := upload(t, srv, "sendPhoto", kind, body)
	if !a.OK {
		t.Fatalf("%+v", a)
	}
	got := result[sizes](t, a).Photo
	last := got[len(got)-1]
	if len(got) != 3 || last.Width != 400 || last.Height != 200 || last.Size != len(data) || got[0].Width != 90 || got[0].Height != 45 {
		t.Errorf("sizes: %+v", got)
	}
	b := must(t, srv, "sendPhoto", fields{"chat_id": c.ID(), "photo": last.ID})
	if again := result[sizes](t, b).Photo; again[len(again)-1].ID != last.ID {
		t.Errorf("a file_id used again becomes another: %+v", again)
	}
	refused(t, srv, "sendDocument", fields{"chat_id": c.ID(), "document": last.ID}, 400, "can't use file of type photo")
	path := result[map[string]any](t, must(t, srv, "getFile", fields{"file_id": last.ID}))["file_path"].(string)
	if code, back := get(t, srv.URL()+"/file/bot"+srv.Token()+"/"+path); code != 200 || !bytes.Equal(back, data) {
		t.Errorf("download: %d, %d bytes of %d", code, len(back), len(data))
	}
	list := c.FromBot()
	if len(list) != 2 || !bytes.Equal(list[0].Photo.Data, data) || list[1].Photo.SHA256 != list[0].Photo.SHA256 || list[0].Caption != "Pad 4" {
		t.Errorf("on the screen: %+v", list)
	}

	kind, body = form(t, map[string]string{"chat_id": fmt.Sprint(c.ID())}, map[string][]byte{"document": data})
	doc := result[sizes](t, upload(t, srv, "sendDocument", kind, body)).Document
	if doc.Name != "document.png" || doc.MIME != "image/png" {
		t.Errorf("document: %+v", doc)
	}

	next := picture(t, 300, 300)
	edit := map[string]string{"chat_id": fmt.Sprint(c.ID()), "message_id": fmt.Sprint(list[0].ID),
		"media": `{"type":"photo","media":"attach://next","caption":"Pad 5"}`}
	kind, body = form(t, edit, map[string][]byte{"next": next})
	if a := upload(t, srv, "editMessageMedia", kind, body); !a.OK {
		t.Fatalf("editMessageMedia: %+v", a)
	}
	m := c.FromBot()[0]
	if !bytes.Equal(m.Photo.Data, next) || m.Caption != "Pad 5" {
		t.Errorf("after the edit: %+v", m)
	}
	refused(t, srv, "editMessageMedia", fields{"chat_id": c.ID(), "message_id": m.ID,
		"media": fields{"type": "photo", "media": m.Photo.ID, "caption": "Pad 5"}}, 400, "message is not modified")
	must(t, srv, "editMessageCaption", fields{"chat_id": c.ID(), "message_id": m.ID, "caption": "Pad 6"})
	refused(t, srv, "editMessageText", fields{"chat_id": c.ID(), "message_id": m.ID, "text": "x"}, 400, "no text in the message")
	r := srv.Requests("sendPhoto")
	if len(r) != 2 || len(r[0].Files) != 1 || !bytes.Equal(r[0].Files[0].Data, data) || !strings.Contains(string(r[0].Params), `"attach://photo"`) {
		t.Errorf("the record of the upload: %+v", r)
	}
}

func TestUploadsThatAreNotWhole(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	data := picture(t, 64, 64)
	chat := map[string]string{"chat_id": fmt.Sprint(c.ID())}
	whole, wholeBody := form(t, chat, map[string][]byte{"photo": data})
	made := func(f map[string]string, files map[string][]byte) [2]any {
		kind, body := form(t, f, files)
		return [2]any{kind, body}
	}
	media := func(m string) map[string]string { return map[string]string{"chat_id": chat["chat_id"], "photo": m} }
	for name, test := range map[string]struct {
		body [2]any
		want string
	}{
		"empty file":        {made(chat, map[string][]byte{"photo": {}}), "must be non-empty"},
		"no file":           {made(chat, nil), `needs "photo"`},
		"truncated picture": {made(chat, map[string][]byte{"photo": data[:len(data)-20]}), "IMAGE_PROCESS_FAILED"},
		"no picture":        {made(chat, map[string][]byte{"photo": []byte("%PDF-1.7")}), "IMAGE_PROCESS_FAILED"},
		"no end":            {[2]any{whole, wholeBody[:len(wholeBody)-6]}, "truncated"},
		"half":              {[2]any{whole, wholeBody[:len(wholeBody)/2]}, "truncated"},
		"wrong boundary":    {[2]any{whole + "x", wholeBody}, "truncated"},
		"no such attach":    {made(media("attach://other"), nil), "no file was uploaded"},
		"unused file":       {made(chat, map[string][]byte{"photo": data, "second": data}), `uses the uploaded file "second"`},
		"twice":             {made(media("x"), map[string][]byte{"photo": data}), "given twice"},
		"long caption": {made(map[string]string{"chat_id": chat["chat_id"], "caption": strings.Repeat("c", 1025)},
			map[string][]byte{"photo": data}), "caption is too long"},
		"too long a side": {made(chat, map[string][]byte{"photo": picture(t, 211, 10)}), "PHOTO_INVALID_DIMENSIONS"},
		"too big a sum":   {made(chat, map[string][]byte{"photo": picture(t, 9501, 500)}), "PHOTO_INVALID_DIMENSIONS"},
	} {
		before := len(srv.Faults(apitest.Malformed))
		a := upload(t, srv, "sendPhoto", test.body[0].(string), test.body[1].([]byte))
		if a.ErrorCode != 400 || !strings.Contains(a.Description, test.want) {
			t.Errorf("%s: %+v, want %q", name, a, test.want)
		}
		if len(srv.Faults(apitest.Malformed)) != before+1 {
			t.Errorf("%s is no fault", name)
		}
	}
	for name, data := range map[string][]byte{"ratio 20": picture(t, 200, 10), "sum 10000": picture(t, 9500, 500)} {
		if kind, body := form(t, chat, map[string][]byte{"photo": data}); !upload(t, srv, "sendPhoto", kind, body).OK {
			t.Errorf("%s is refused", name)
		}
	}
	if n := len(c.FromBot()); n != 2 {
		t.Errorf("%d photos were sent, want 2", n)
	}
}

// A client that dies in the middle of its request sends less than it said.
func TestClientDiesInAnUpload(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	kind, body := form(t, map[string]string{"chat_id": fmt.Sprint(c.ID())}, map[string][]byte{"photo": picture(t, 64, 64)})
	conn, err := net.Dial("tcp", strings.TrimPrefix(srv.URL(), "http://"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Fprintf(conn, "POST /bot%s/sendPhoto HTTP/1.1\r\nHost: x\r\nContent-Type: %s\r\nContent-Length: %d\r\n\r\n%s",
		srv.Token(), kind, len(body), body[:len(body)/2]); err != nil {
		t.Fatal(err)
	}
	if err := conn.(*net.TCPConn).CloseWrite(); err != nil {
		t.Fatal(err)
	}
	if err := conn.SetReadDeadline(time.Now().Add(10 * time.Second)); err != nil {
		t.Fatal(err)
	}
	reply, err := io.ReadAll(conn)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(reply), "200 OK") || len(c.FromBot()) != 0 {
		t.Errorf("half an upload was taken: %q, %d messages", reply, len(c.FromBot()))
	}
	if r := srv.Requests("sendPhoto"); len(r) != 1 || r[0].Accepted || r[0].Status != 0 || len(srv.Faults()) != 0 {
		t.Errorf("recorded %+v, faults %+v; want one that is cut, and no fault", r, srv.Faults())
	}
}
