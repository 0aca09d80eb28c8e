package bot_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/engine"
	"rodcall/session/store"
)

// leaks says whether a text holds the token, or the secret half of it.
func leaks(text string) bool {
	_, secret, _ := strings.Cut(token, ":")
	return strings.Contains(text, token) || strings.Contains(text, secret)
}

// TestTheTokenStaysHidden goes through every way in which a request can fail,
// and looks for the token in errors, in what they wrap, and in the log at its
// lowest level, before anything is redacted there.
func TestTheTokenStaysHidden(t *testing.T) {
	echo := func(status int, body string) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) {
			w.WriteHeader(status)
			_, _ = fmt.Fprintf(w, body, r.URL.Path)
		}
	}
	// file gives a path for a file, and then trouble with it.
	file := func(then http.HandlerFunc) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) {
			if strings.HasPrefix(r.URL.Path, "/file/") {
				then(w, r)
				return
			}
			echo(200, `{"ok":true,"result":{"file_path":"voice%s"}}`)(w, r)
		}
	}
	closed, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	gone := "http://" + closed.Addr().String()
	if err := closed.Close(); err != nil {
		t.Fatal(err)
	}
	places := map[string]string{"nothing listens": gone, "no such host": "http://bot.invalid", "no URL": "://", "odd URL": "http://[::1"}
	for name, h := range map[string]http.HandlerFunc{
		"page":      echo(502, "<html>no %s here</html>"),
		"text":      echo(200, "%s"),
		"refused":   echo(400, `{"ok":false,"error_code":400,"description":"Bad Request: %s"}`),
		"forbidden": echo(403, `{"ok":false,"error_code":403,"description":"Forbidden: %s"}`),
		"too many":  echo(429, `{"ok":false,"error_code":429,"description":"Too Many: %s","parameters":{"retry_after":1}}`),
		"not found": echo(404, `{"ok":false,"error_code":404,"description":"Not Found: %s"}`),
		"conflict":  echo(409, `{"ok":false,"error_code":409,"description":"Conflict: %s"}`),
		"wrong":     echo(200, `{"ok":true,"result":"%s"}`),
		"moved": func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "http://bot.invalid"+r.URL.Path, http.StatusFound)
		},
		"slow": func(_ http.ResponseWriter, r *http.Request) {
			_, _ = io.Copy(io.Discard, r.Body) // only then is a client that goes noticed
			<-r.Context().Done()
		},
		"cut":            func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) },
		"file not found": file(echo(404, "%s is not here")),
		"file failed":    file(echo(502, "<html>%s</html>")),
		"file moved": file(func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "http://bot.invalid"+r.URL.Path, http.StatusFound)
		}),
		"file cut": file(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "99")
			_, _ = w.Write([]byte("Ogg"))
		}),
		"file slow": file(func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() }),
		"file odd":  echo(200, `{"ok":true,"result":{"file_path":"%%zz\u0000%s"}}`),
		"half a one": func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "99")
			_, _ = w.Write([]byte("{"))
		},
	} {
		srv := httptest.NewServer(h)
		defer srv.Close()
		places[name] = srv.URL
	}
	good := apitest.New(apitest.Config{Token: token})
	defer good.Close()
	for name, url := range places {
		t.Run(name, func(t *testing.T) {
			var raw bytes.Buffer
			log := slog.New(slog.NewTextHandler(&raw, &slog.HandlerOptions{Level: slog.LevelDebug}))
			ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
			defer cancel()
			_, err := bot.New(ctx, bot.Config{Token: token, API: url, Log: log})
			look(t, "New", err)
			if err == nil && !strings.HasPrefix(name, "file ") {
				t.Error("a bot was made")
			}
			// One that came to be while all was well, and everything it does.
			b, err := bot.New(context.Background(), bot.Config{
				Token: token, API: good.URL(), Log: log,
				Ear: ear(func(context.Context, []byte) session.Heard { return session.Heard{Text: "x"} }),
			})
			if err != nil {
				t.Fatal(err)
			}
			bot.Redirect(b, url)
			bot.Hurry(b, 20*time.Millisecond, time.Millisecond)
			look(t, "RegisterCommands", b.RegisterCommands(ctx))
			look(t, "SetWebhook", b.SetWebhook(ctx, "https://bot.example/", "sesame"))
			look(t, "Poll", b.Poll(ctx, nobody{}))
			for _, r := range []session.Reply{{Text: "x"}, {Picture: "j1"}, {Picture: "j1", Original: true}} {
				_, err := b.Send(ctx, engine.Delivery{Chat: "tg:5", Reply: r, Picture: []byte("png")})
				look(t, "Send", err)
			}
			b.Rights(ctx, "tg:-5", "tg:7")
			for _, attached := range []string{
				`"voice": {"file_id": "x", "duration": 2, "mime_type": "audio/ogg"}`, `"photo": [{"file_id": "x", "width": 90}]`,
			} {
				in, err := b.Decode([]byte(`{"update_id": 1, "message": {"message_id": 1, "date": 1, "from": {"id": 5, "first_name": "a"},
					"chat": {"id": 5, "type": "private"}, ` + attached + `}}`))
				if err != nil {
					t.Fatal(err)
				}
				ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
				defer cancel()
				if in.Message.Kind == session.Spoken {
					_, err = b.Listen(ctx, in, session.Listening{})
				} else {
					_, _, err = b.FetchPhoto(ctx, in)
				}
				look(t, "fetch", err)
			}
			if leaks(raw.String()) {
				t.Errorf("the log holds the token:\n%s", raw.String())
			}
		})
	}
}

// look looks for the token in an error, printed in all ways.
func look(t *testing.T, what string, err error) {
	t.Helper()
	for _, form := range []string{"%v", "%s", "%q", "%+v"} {
		if text := fmt.Sprintf(form, err); leaks(text) {
			t.Errorf("%s: the error holds the token: %s", what, text)
		}
	}
}

// TestRedact hides the token in all its forms.
func TestRedact(t *testing.T) {
	_, secret, _ := strings.Cut(token, ":")
	for _, text := range []string{
		"a " + token + " b", "/bot" + token + "/getMe", "/bot" + strings.ReplaceAll(token, ":", "%3A") + "/getMe", secret,
	} {
		if got := bot.Redact(text, token); leaks(got) || got == text {
			t.Errorf("%q is redacted to %q", text, got)
		}
	}
	for _, bad := range []string{"", "  ", "x", "12:short", token + " x", "4242:stand-in%20token-of-nobody", "https://x/" + token} {
		if _, err := bot.CleanToken(bad); err == nil {
			t.Errorf("%q was taken for a token", bad)
		} else if len(bad) > 8 && strings.Contains(err.Error(), bad) {
			t.Errorf("the error holds what was given: %v", err)
		}
	}
	if got, err := bot.CleanToken(" " + token + "\r\n"); err != nil || got != token {
		t.Errorf("with a new line: %q, %v", got, err)
	}
}

// TestPanicHidesTheToken: what falls over while a message is heard, with the token in
// its mouth, says it neither in the log nor to anybody in the chat.
func TestPanicHidesTheToken(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	r.stop()
	r.hear = func(session.Chat, *session.Job, session.Conversation, session.Message) session.Outcome {
		panic(fmt.Errorf("Post %q: no route", "https://bot.invalid/bot"+token+"/getFile"))
	}
	r.start()
	got := r.say(c, ann, "on")
	if text := r.log.String(); leaks(text) || !strings.Contains(text, "dead letters") || !strings.Contains(text, "[token]") {
		t.Errorf("the log:\n%s", text)
	}
	if leaks(got) {
		t.Errorf("the bot says %q", got)
	}
	// Nor is it kept beside the message.
	err := r.file.View(func(tx *store.Tx) error {
		dead, err := tx.Dead(9)
		if len(dead) != 1 || leaks(dead[0].Why) || !strings.Contains(dead[0].Why, "[token]") {
			t.Errorf("the dead letters are %+v", dead)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

// falls is a limiter that falls over with the token in its mouth, where nothing
// catches that.
type falls struct{}

func (falls) Wait(context.Context, string) error {
	panic(fmt.Errorf("Post %q: no route", "https://bot.invalid/bot"+token+"/sendMessage"))
}

// TestCrashOfAGoroutine ends a program by a panic in the engine's own goroutine: it
// says where, without the token, and with what status Go itself would not.
func TestCrashOfAGoroutine(t *testing.T) {
	const variable = "RODCALL_TEST_CRASH"
	if os.Getenv(variable) != "" {
		crash(t)
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestCrashOfAGoroutine$")
	cmd.Env = append(os.Environ(), variable+"=1")
	out, err := cmd.CombinedOutput()
	var end *exec.ExitError
	if !errors.As(err, &end) || end.ExitCode() != 1 {
		t.Errorf("it ended with %v", err)
	}
	text := string(out)
	if leaks(text) || !strings.Contains(text, "panic: the program ends") || !strings.Contains(text, "[token]") || !strings.Contains(text, "falls.Wait") {
		t.Errorf("it prints:\n%s", text)
	}
}

// crash is what the other process does.
func crash(t *testing.T) {
	srv := apitest.New(apitest.Config{Token: token})
	defer srv.Close()
	log := slog.New(slog.NewTextHandler(bot.Redacted(os.Stderr, token), nil))
	b, err := bot.New(context.Background(), bot.Config{Token: token, API: srv.URL(), Log: log})
	if err != nil {
		t.Fatal(err)
	}
	file, err := store.Open(filepath.Join(t.TempDir(), "walk.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	eng, err := engine.Start(engine.Config{Store: file, Port: b, Log: log, Limiter: falls{}})
	if err != nil {
		t.Fatal(err)
	}
	err = eng.Receive([]engine.Update{{ID: 1, Raw: []byte(`{"update_id": 1, "message": {"message_id": 1, "date": 1, "text": "help",
		"from": {"id": 5, "first_name": "a"}, "chat": {"id": 5, "type": "private"}}}`)}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	t.Fatal("it goes on: ", eng.Wait(ctx))
}
