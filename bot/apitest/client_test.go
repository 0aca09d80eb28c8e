package apitest_test

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"io"
	"mime/multipart"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// answer is what the server says, as the Bot API has it.
type answer struct {
	OK          bool            `json:"ok"`
	Result      json.RawMessage `json:"result"`
	ErrorCode   int             `json:"error_code"`
	Description string          `json:"description"`
	Parameters  struct {
		RetryAfter int   `json:"retry_after"`
		MigrateTo  int64 `json:"migrate_to_chat_id"`
	} `json:"parameters"`
}

// fields are the parameters of a request.
type fields map[string]any

// try posts JSON; the error is the connection's.
func try(srv *apitest.Server, method string, f fields) (answer, error) {
	body, err := json.Marshal(f)
	if err != nil {
		return answer{}, err
	}
	return read(http.Post(srv.URL()+"/bot"+srv.Token()+"/"+method, "application/json", bytes.NewReader(body)))
}

func read(resp *http.Response, err error) (answer, error) {
	var a answer
	if err != nil {
		return a, err
	}
	defer func() { _ = resp.Body.Close() }()
	if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
		return a, err
	}
	return a, nil
}

// ask posts JSON and wants an answer in the Bot API's form.
func ask(t testing.TB, srv *apitest.Server, method string, f fields) answer {
	t.Helper()
	a, err := try(srv, method, f)
	if err != nil {
		t.Fatalf("%s: %v", method, err)
	}
	return a
}

// must is ask for a request that is right.
func must(t testing.TB, srv *apitest.Server, method string, f fields) answer {
	t.Helper()
	a := ask(t, srv, method, f)
	if !a.OK {
		t.Fatalf("%s %v: %d %s", method, f, a.ErrorCode, a.Description)
	}
	return a
}

// refused is ask for a request that must be answered with a code and a
// description that holds the text.
func refused(t testing.TB, srv *apitest.Server, method string, f fields, code int, text string) answer {
	t.Helper()
	a := ask(t, srv, method, f)
	if a.OK || a.ErrorCode != code || !strings.Contains(a.Description, text) {
		t.Fatalf("%s %v: got %v %d %q, want %d %q", method, f, a.OK, a.ErrorCode, a.Description, code, text)
	}
	return a
}

// result reads a result.
func result[T any](t testing.TB, a answer) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(a.Result, &v); err != nil {
		t.Fatalf("%s: %v", a.Result, err)
	}
	return v
}

// sent is the message_id in an answer.
func sent(t testing.TB, a answer) int {
	t.Helper()
	return result[struct {
		ID int `json:"message_id"`
	}](t, a).ID
}

// update is what the tests look at in one.
type update struct {
	ID      int64 `json:"update_id"`
	Message *struct {
		ID      int    `json:"message_id"`
		Thread  int    `json:"message_thread_id"`
		InTopic bool   `json:"is_topic_message"`
		Text    string `json:"text"`
		ReplyTo *struct {
			ID int `json:"message_id"`
		} `json:"reply_to_message"`
		Chat struct {
			ID int64 `json:"id"`
		} `json:"chat"`
		MigrateTo   int64 `json:"migrate_to_chat_id"`
		MigrateFrom int64 `json:"migrate_from_chat_id"`
	} `json:"message"`
	Edited *struct {
		ID   int    `json:"message_id"`
		Text string `json:"text"`
	} `json:"edited_message"`
	Query *struct {
		ID   string `json:"id"`
		Data string `json:"data"`
	} `json:"callback_query"`
	MyMember json.RawMessage `json:"my_chat_member"`
	Reaction json.RawMessage `json:"message_reaction"`
}

// poll fetches updates.
func poll(t testing.TB, srv *apitest.Server, f fields) []update {
	t.Helper()
	return result[[]update](t, must(t, srv, "getUpdates", f))
}

// texts are those of the messages in updates.
func texts(list []update) []string {
	var out []string
	for _, u := range list {
		if u.Message != nil {
			out = append(out, u.Message.Text)
		}
	}
	return out
}

// clock is a time that stands still until it is moved.
type clock struct {
	mu sync.Mutex
	t  time.Time
}

func newClock() *clock { return &clock{t: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)} }

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.t = c.t.Add(d)
}

// start runs a server for a test.
func start(t testing.TB, cfg apitest.Config) *apitest.Server {
	t.Helper()
	srv := apitest.New(cfg)
	t.Cleanup(srv.Close)
	return srv
}

// private starts a chat with one person who wrote /start, which is confirmed.
func private(t testing.TB, srv *apitest.Server) (apitest.User, *apitest.Chat) {
	t.Helper()
	u := srv.User("Ana")
	c := srv.Private(u)
	c.Say(u, "/start")
	must(t, srv, "getUpdates", fields{"offset": -1})
	list := poll(t, srv, fields{})
	poll(t, srv, fields{"offset": list[0].ID + 1})
	return u, c
}

// picture is a PNG of a size.
func picture(t testing.TB, w, h int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = uint8(i*7 + i>>5)
	}
	img.Set(0, 0, color.White)
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// form writes a multipart body: fields, and files by field.
func form(t testing.TB, f map[string]string, files map[string][]byte) (string, []byte) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name, v := range f {
		if err := w.WriteField(name, v); err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range files {
		part, err := w.CreateFormFile(name, name+".png")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write(data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), b.Bytes()
}

// upload posts a multipart body.
func upload(t testing.TB, srv *apitest.Server, method, kind string, body []byte) answer {
	t.Helper()
	a, err := read(http.Post(srv.URL()+"/bot"+srv.Token()+"/"+method, kind, bytes.NewReader(body)))
	if err != nil {
		t.Fatalf("%s: %v", method, err)
	}
	return a
}

// get fetches an address as it is.
func get(t testing.TB, address string) (int, []byte) {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, body
}
