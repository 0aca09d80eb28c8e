package bot_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"net"
	"net/http/httptest"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session/store"
)

// hook is a bot that takes updates on a real listener.
type hook struct {
	*rig
	address string
	tls     bool
}

// newHook serves a webhook until the test ends.
func newHook(t *testing.T, withTLS bool) *hook {
	t.Helper()
	h := &hook{rig: newRig(t, apitest.Config{WebhookRetry: 20 * time.Millisecond}), tls: withTLS}
	h.stop()
	h.polls = false
	h.start()
	bot.HurryHooks(h.bot, 400*time.Millisecond)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	h.address = l.Addr().String()
	var by *tls.Config
	url := "http://" + h.address
	if withTLS {
		made := httptest.NewTLSServer(nil) // for its certificate
		made.Close()
		by, url = &tls.Config{Certificates: made.TLS.Certificates, MinVersion: tls.VersionTLS12}, "https://"+h.address
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- h.bot.ServeWebhook(ctx, l, by, "sesame", h.eng) }()
	if err := h.bot.SetWebhook(ctx, url, "sesame"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("serve the webhook: %v", err)
		}
		if err := h.bot.Taking(); err == nil {
			t.Error("it takes updates when it has ended")
		}
	})
	return h
}

// dial connects, as anybody can. Where the machine is so busy that the program
// loses its patience before the keys are exchanged, it tries again.
func (h *hook) dial() (c net.Conn, err error) {
	d := &net.Dialer{Timeout: 20 * time.Second}
	if !h.tls {
		return d.Dial("tcp", h.address)
	}
	for range 5 {
		if c, err = tls.DialWithDialer(d, "tcp", h.address, &tls.Config{InsecureSkipVerify: true}); err == nil { //nolint:gosec // a certificate of the test
			return c, nil
		}
	}
	return nil, err
}

var statusLine = regexp.MustCompile(`^HTTP/1\.[01] ([0-9]{3}) `)

// send sends bytes, and more of them again and again if there are any, until
// the other side answers or cuts it off. It returns the status of the answer, ""
// for none, and whether the connection was closed by then or soon after.
func (h *hook) send(t *testing.T, head string, more string) (status string, cut bool) {
	t.Helper()
	c, err := h.dial()
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close() //nolint:errcheck // it is done with
	if err := c.SetDeadline(time.Now().Add(30 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(c, head); err != nil {
		return "", true
	}
	done := make(chan struct{})
	var sending sync.WaitGroup
	sending.Go(func() {
		for more != "" {
			select {
			case <-done:
				return
			case <-time.After(20 * time.Millisecond):
			}
			if _, err := io.WriteString(c, more); err != nil {
				return
			}
		}
	})
	defer sending.Wait()
	defer close(done)
	var answer bytes.Buffer
	b := make([]byte, 4096)
	for {
		n, err := c.Read(b)
		answer.Write(b[:n])
		if m := statusLine.FindStringSubmatch(answer.String()); m != nil {
			status = m[1]
		}
		if err != nil {
			var slow net.Error
			return status, !(asNet(err, &slow) && slow.Timeout())
		}
	}
}

func asNet(err error, to *net.Error) (ok bool) {
	*to, ok = err.(net.Error) //nolint:errorlint // as a connection returns it
	return ok
}

// request is a request in HTTP/1.1 that ends its connection.
func request(method, headers, body string) string {
	return fmt.Sprintf("%s / HTTP/1.1\r\nHost: bot.example\r\nConnection: close\r\n%sContent-Length: %d\r\n\r\n%s", method, headers, len(body), body)
}

const (
	rightly = "X-Telegram-Bot-Api-Secret-Token: sesame\r\n"
	wrongly = "X-Telegram-Bot-Api-Secret-Token: simsim\r\n"
)

// TestWebhookAttacked: what strangers send is turned away, and kept from
// holding anything for long; nothing of it is stored.
func TestWebhookAttacked(t *testing.T) {
	for _, withTLS := range []bool{false, true} {
		t.Run(fmt.Sprint("tls=", withTLS), func(t *testing.T) {
			t.Parallel()
			h := newHook(t, withTLS)
			var bomb bytes.Buffer
			z := gzip.NewWriter(&bomb)
			for range 64 {
				if _, err := z.Write(make([]byte, 1<<20)); err != nil {
					t.Fatal(err)
				}
			}
			if err := z.Close(); err != nil {
				t.Fatal(err)
			}
			update := func(id int) string {
				return fmt.Sprintf(`{"update_id":%d,"message":{"message_id":1,"date":1777000000,"text":"on","from":{"id":7,"is_bot":false,"first_name":"Eve"},"chat":{"id":7,"type":"private"}}}`, id)
			}
			secret := func(s string) string { return "X-Telegram-Bot-Api-Secret-Token: " + s + "\r\n" }
			chunks := func(headers, body string) string {
				return "POST / HTTP/1.1\r\nHost: bot.example\r\n" + headers + "Transfer-Encoding: chunked\r\n\r\n" + body
			}
			for _, c := range []struct{ name, head, more, want string }{
				{"no secret", request("POST", "", update(1)), "", "401"},
				{"an empty secret", request("POST", secret(""), update(1)), "", "401"},
				{"a wrong secret", request("POST", wrongly, update(1)), "", "401"},
				{"a letter short", request("POST", secret("sesam"), update(1)), "", "401"},
				{"a letter more", request("POST", secret("sesamee"), update(1)), "", "401"},
				{"another case", request("POST", secret("Sesame"), update(1)), "", "401"},
				{"in quotes", request("POST", secret(`"sesame"`), update(1)), "", "401"},
				{"the secret second", request("POST", wrongly+rightly, update(1)), "", "401"},
				{"in the address", strings.Replace(request("POST", "", update(1)), "POST /", "POST /sesame?secret_token=sesame", 1), "", "401"},
				{"from an address that it names", request("POST", "X-Forwarded-For: 149.154.160.1\r\nX-Real-IP: 127.0.0.1\r\nForwarded: for=127.0.0.1\r\n", update(1)), "", "401"},
				{"GET", request("GET", rightly, ""), "", "405"},
				{"PUT", request("PUT", rightly, update(1)), "", "405"},
				{"CONNECT", request("CONNECT", rightly, update(1)), "", "4"},
				{"no method", request("", rightly, update(1)), "", "400"},
				{"no HTTP", "\x00\x01\x02\r\n\r\n", "", "400"},
				{"HTTP/9", strings.Replace(request("POST", rightly, update(1)), "HTTP/1.1", "HTTP/9.9", 1), "", "505"},
				{"no update", request("POST", rightly, "[1,2]"), "", "400"},
				{"no JSON", request("POST", rightly, "update_id=1"), "", "400"},
				{"deep JSON", request("POST", rightly, strings.Repeat("[", 500_000)), "", "400"},
				{"a large update", request("POST", rightly, strings.Repeat(" ", 2<<20)), "", "413"},
				{"a large update in chunks", chunks(rightly, "200000\r\n"+strings.Repeat(" ", 0x200000)+"\r\n0\r\n\r\n"), "", "413"},
				{"an endless update in chunks", chunks(rightly, ""), "10000\r\n" + strings.Repeat(" ", 0x10000) + "\r\n", "413"},
				{"chunks of nonsense", chunks(rightly, "zz\r\nwhat\r\n"), "", "400"},
				{"a chunk of a negative size", chunks(rightly, "-1\r\n"), "", "400"},
				{"chunks and a length", chunks(rightly+"Content-Length: 5\r\n", "zz\r\n"), "", "400"},
				{"an unknown coding", "POST / HTTP/1.1\r\nHost: x\r\n" + rightly + "Transfer-Encoding: gzip\r\n\r\n", "", "501"},
				{"what is packed", request("POST", rightly+"Content-Encoding: gzip\r\n", bomb.String()), "", "400"},
				{"a large head", "POST / HTTP/1.1\r\nHost: x\r\nX-Large: " + strings.Repeat("a", 64<<10) + "\r\n\r\n", "", "431"},
				{"an endless head", "POST / HTTP/1.1\r\nHost: x\r\n", "X-More: " + strings.Repeat("a", 4000) + "\r\n", "431"},
				{"a slow head", "POST / HTTP/1.1\r\nX-Slow: ", "a", ""},
				{"nothing", "", "", ""},
				{"a slow body without the secret", "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000000\r\n\r\n", "a", "401"},
				{"a slow body with it", "POST / HTTP/1.1\r\nHost: x\r\n" + rightly + "Content-Length: 1000000\r\n\r\n", " ", "400"},
			} {
				status, cut := h.send(t, c.head, c.more)
				if !strings.HasPrefix(status, c.want) || c.want == "" && status != "" && status[0] != '4' {
					t.Errorf("%s: %q, want %q", c.name, status, c.want)
				}
				if !cut {
					t.Errorf("%s: it is not cut off", c.name)
				}
			}
			// An old form of HTTP is good enough for one who has the secret.
			old := fmt.Sprintf("POST / HTTP/1.0\r\n%sContent-Length: %d\r\n\r\n%s", rightly, len(update(2)), update(2))
			if status, _ := h.send(t, old, ""); status != "200" {
				t.Errorf("HTTP/1.0: %q", status)
			}
			if err := h.eng.Wait(t.Context()); err != nil {
				t.Fatal(err)
			}
			err := h.file.View(func(tx *store.Tx) error {
				if dead, err := tx.Dead(10); err != nil || len(dead) > 0 {
					t.Errorf("%d dead letters, %v", len(dead), err)
				}
				return nil
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
}

// TestWebhookCrowded: many hold on to connections all the time, and a real
// update comes through nevertheless; what is held stays bounded.
func TestWebhookCrowded(t *testing.T) {
	if testing.Short() {
		t.Skip("it keeps the machine busy")
	}
	for _, withTLS := range []bool{false, true} {
		t.Run(fmt.Sprint("tls=", withTLS), func(t *testing.T) {
			h := newHook(t, withTLS)
			ann, c := h.owner("ann")
			const crowd = 2 * bot.MaxHooks
			var attacking sync.WaitGroup
			var connected atomic.Int64
			stop := make(chan struct{})
			for i := range crowd {
				attacking.Go(func() {
					for {
						select {
						case <-stop:
							return
						default:
						}
						conn, err := h.dial()
						if err != nil {
							continue // TLS that was cut off
						}
						connected.Add(1)
						_, _ = io.WriteString(conn, []string{"", "POST / HTTP/1.1\r\nX-Slow: ", "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 9\r\n\r\n"}[i%3])
						_ = conn.SetReadDeadline(time.Now().Add(10 * time.Second))
						_, _ = io.Copy(io.Discard, conn) // until it is cut off
						_ = conn.Close()
					}
				})
			}
			most := 0
			for connected.Load() < crowd {
				most = max(most, served())
				time.Sleep(time.Millisecond)
			}
			for _, text := range []string{"new House", "40x28", "direct rod", "on"} {
				h.say(c, ann, text)
				most = max(most, served())
			}
			if got := h.last(c); !strings.Contains(got, "c1: ") {
				t.Errorf("in a crowd: %q", got)
			}
			// The stand-in of the platform serves a few itself.
			if most > bot.MaxHooks+16 || most < bot.MaxHooks/4 {
				t.Errorf("%d connections were held at a time", most)
			}
			close(stop)
			attacking.Wait()
			if got := h.say(c, ann, "1/8 low"); !strings.Contains(got, "c1+4: 1/8 low") {
				t.Errorf("after it: %q", got)
			}
			h.noFaults()
		})
	}
}

// served counts the connections that are served in this process.
func served() int {
	b := make([]byte, 4<<20)
	return strings.Count(string(b[:runtime.Stack(b, true)]), "net/http.(*conn).serve(")
}
