package main

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// The secrets of a test, as parts that must not be found anywhere.
const (
	secretToken   = "4242:stand-in-token-of-nobody-000000000"
	secretPart    = "stand-in-token-of-nobody" // of the token, behind its colon
	secretWebhook = "open-sesame-of-nobody"
)

// noSecret fails where a text holds a secret.
func noSecret(t *testing.T, where, text string) {
	t.Helper()
	for _, s := range []string{secretPart, secretWebhook} {
		if strings.Contains(text, s) {
			t.Errorf("%s: a secret is in it:\n%.2000s", where, text)
		}
	}
}

// printedSafely collects what a process prints.
type printedSafely struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (p *printedSafely) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.b.Write(b)
}

func (p *printedSafely) String() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.b.String()
}

// troubles are platforms that fail, each in another way; those that answer say the
// address that they were asked by, which holds the token.
func troubles(t *testing.T) map[string]string {
	echo := func(status int, body string) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) {
			w.WriteHeader(status)
			_, _ = fmt.Fprintf(w, body, r.URL.Path)
		}
	}
	closed, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	gone := closed.Addr().String()
	if err := closed.Close(); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{"nothing listens": "http://" + gone, "no such host": "http://bot.invalid"}
	for name, h := range map[string]http.HandlerFunc{
		"page":      echo(502, "<html>no %s here</html>"),
		"text":      echo(200, "%s"),
		"refused":   echo(400, `{"ok":false,"error_code":400,"description":"Bad Request: %s"}`),
		"forbidden": echo(403, `{"ok":false,"error_code":403,"description":"Forbidden: %s"}`),
		"no token":  echo(401, `{"ok":false,"error_code":401,"description":"Unauthorized: %s"}`),
		"too many":  echo(429, `{"ok":false,"error_code":429,"description":"Too Many: %s","parameters":{"retry_after":1}}`),
		"conflict":  echo(409, `{"ok":false,"error_code":409,"description":"Conflict: %s"}`),
		"moved": func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "http://bot.invalid"+r.URL.Path, http.StatusFound)
		},
		"cut": func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) },
		"half": func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "99")
			_, _ = w.Write([]byte("{"))
		},
	} {
		// At first all is well: it says who the bot is, and gives one message.
		var mu sync.Mutex
		given := false
		srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			mu.Lock()
			defer mu.Unlock()
			switch {
			case strings.HasPrefix(r.URL.Path, "/late/") && strings.HasSuffix(r.URL.Path, "/getMe"):
				_, _ = io.WriteString(w, `{"ok":true,"result":{"id":4242,"is_bot":true,"first_name":"x","username":"stand_in_bot"}}`)
			case strings.HasPrefix(r.URL.Path, "/late/") && strings.HasSuffix(r.URL.Path, "/getUpdates") && !given:
				given = true
				_, _ = io.WriteString(w, `{"ok":true,"result":[{"update_id":1,"message":{"message_id":1,"date":1777000000,"text":"hello",
					"from":{"id":5,"is_bot":false,"first_name":"a"},"chat":{"id":5,"type":"private","first_name":"a"}}}]}`)
			default:
				h(w, r)
			}
		}))
		t.Cleanup(srv.Close)
		out[name], out[name+", later"] = srv.URL, srv.URL+"/late"
	}
	plain := httptest.NewServer(http.NotFoundHandler())
	t.Cleanup(plain.Close)
	out["no TLS"] = "https://" + plain.Listener.Addr().String()
	return out
}

var metricsAt = regexp.MustCompile(`address=(127\.0\.0\.1:\d+)`)

// TestSecretsStayHidden runs serve, by asking and over a webhook, and check against
// platforms that fail in every way, and backup beside a serve, at their most
// talkative; and looks for the token and for the webhook's secret in all that they
// print, in the dump of one that is ended by a signal, in the list of processes, in
// what health and metrics say, and in the files that they leave.
func TestSecretsStayHidden(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	srv := apitest.New(apitest.Config{Token: secretToken})
	defer srv.Close()
	bin := newProgram(t, srv).bin
	for name, api := range troubles(t) {
		for _, way := range []string{"ask", "webhook"} {
			t.Run(name+", "+way, func(t *testing.T) {
				t.Parallel()
				w := newWatched(t, bin)
				args := []string{"serve", "--db", w.db, "--api", api, "--log", "debug", "--metrics", "127.0.0.1:0", "--backup-dir", filepath.Join(w.dir, "copies")}
				end := syscall.SIGTERM
				if way == "webhook" {
					args = append(args, "--webhook", "https://bot.example/", "--secret-file", w.file("secret", secretWebhook), "--listen", "127.0.0.1:0")
					end = syscall.SIGQUIT
				}
				w.serve(args, end)
				// The token from a file this time.
				w.run(nil, "check", "--db", w.db, "--api", api, "--token-file", w.file("token", secretToken))
				w.left()
			})
		}
	}
	t.Run("all is well", func(t *testing.T) {
		w := newWatched(t, bin)
		w.serve([]string{"serve", "--db", w.db, "--api", srv.URL(), "--log", "debug", "--log-form", "json", "--metrics", "127.0.0.1:0"}, syscall.SIGQUIT)
		w.run([]string{tokenVariable + "=" + secretToken}, "check", "--db", w.db, "--api", srv.URL())
		w.run([]string{tokenVariable + "=" + secretToken}, "serve", "--db", w.db, "--show", "--secret-file", w.file("secret", secretWebhook))
		w.left()
	})
}

// watched runs the program, and looks for secrets in all that comes of it.
type watched struct {
	t       *testing.T
	bin     string
	dir, db string
	own     map[string]bool // files with secrets that it was given
}

func newWatched(t *testing.T, bin string) *watched {
	dir := t.TempDir()
	return &watched{t: t, bin: bin, dir: dir, db: filepath.Join(dir, "walk.db"), own: map[string]bool{}}
}

// file writes a secret into a file.
func (w *watched) file(name, text string) string {
	w.t.Helper()
	path := filepath.Join(w.dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		w.t.Fatal(err)
	}
	w.own[name] = true
	return path
}

// run runs a command to its end.
func (w *watched) run(env []string, args ...string) {
	w.t.Helper()
	cmd := exec.Command(w.bin, args...)
	cmd.Env = append(os.Environ(), env...)
	out, _ := cmd.CombinedOutput() // it may fail, and says why
	if len(out) == 0 {
		w.t.Errorf("%s says nothing", args[0])
	}
	noSecret(w.t, strings.Join(args, " "), string(out))
}

// serve runs serve until it has met trouble, asks it all that can be asked, and ends
// it with a signal.
func (w *watched) serve(args []string, end syscall.Signal) {
	w.t.Helper()
	var out printedSafely
	cmd := exec.Command(w.bin, args...)
	cmd.Env = append(os.Environ(), tokenVariable+"="+secretToken)
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		w.t.Fatal(err)
	}
	for range 200 {
		time.Sleep(10 * time.Millisecond)
		if text := out.String(); strings.Contains(text, "error: ") || strings.Contains(text, "again") || strings.Contains(text, "serving") {
			break
		}
	}
	time.Sleep(100 * time.Millisecond) // some more trouble
	line, err := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", cmd.Process.Pid))
	if err == nil {
		noSecret(w.t, "the list of processes", string(line))
	}
	if m := metricsAt.FindStringSubmatch(out.String()); m != nil {
		for _, page := range []string{"/metrics", "/healthz", "/"} {
			noSecret(w.t, page, get("http://"+m[1]+page))
		}
	}
	w.run(nil, "backup", "--db", w.db, "--out", filepath.Join(w.dir, "copy.db"))
	// Where it has not ended by itself: asked twice it ends without waiting for what
	// cannot be sent.
	_ = cmd.Process.Signal(end)
	time.Sleep(100 * time.Millisecond)
	_ = cmd.Process.Signal(end)
	_ = cmd.Wait()
	text := out.String()
	if text == "" {
		w.t.Error("serve says nothing")
	}
	noSecret(w.t, "what serve prints", text)
}

// get is what an address answers, or why it does not.
func get(url string) string {
	resp, err := http.Get(url) //nolint:gosec,noctx // of the program that is tested
	if err != nil {
		return err.Error()
	}
	defer resp.Body.Close() //nolint:errcheck // it was only read
	text, err := io.ReadAll(resp.Body)
	return fmt.Sprint(string(text), err)
}

// left looks through the files that are there in the end.
func (w *watched) left() {
	w.t.Helper()
	looked := 0
	err := filepath.WalkDir(w.dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() || w.own[d.Name()] {
			return err
		}
		b, err := os.ReadFile(path)
		looked++
		noSecret(w.t, path, string(b))
		return err
	})
	if err != nil || looked == 0 {
		w.t.Errorf("%d files were looked at, %v", looked, err)
	}
}
