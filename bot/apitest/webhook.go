package apitest

import (
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"
)

// A webhook is where updates are posted to.
type webhook struct {
	url, secret, ip string
	certificate     bool
	connections     int
	busy            int
	lastError       string
	lastErrorAt     time.Time
	stopped         context.Context
	stop            context.CancelFunc
}

var secretForm = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)

// checkHookURL wants https and one of the platform's ports, except on this
// machine, where tests listen.
func checkHookURL(address string) error {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" {
		return malformed("invalid webhook URL specified")
	}
	if ip := net.ParseIP(u.Hostname()); (ip != nil && ip.IsLoopback()) || u.Hostname() == "localhost" {
		return nil
	}
	port := u.Port()
	if port == "" {
		port = "443"
	}
	switch {
	case u.Scheme != "https":
		return malformed("bad webhook: An HTTPS URL must be provided for webhook")
	case !slices.Contains(Limits.WebhookPorts, port):
		return malformed("bad webhook: Webhook can be set up only on ports %s", strings.Join(Limits.WebhookPorts, ", "))
	}
	return nil
}

func (s *Server) setWebhook(p params, c *call) (any, error) {
	address, secret := p.text("url"), p.text("secret_token")
	if address == "" {
		return s.deleteWebhook(p, c)
	}
	if err := checkHookURL(address); err != nil {
		return nil, err
	}
	connections := 40
	if p.has("max_connections") {
		connections = int(p.number("max_connections"))
	}
	switch {
	case connections < 1 || connections > Limits.WebhookConnections:
		return nil, malformed("max_connections %d", connections)
	case p.has("secret_token") && (len(secret) > Limits.WebhookSecret || !secretForm.MatchString(secret)):
		return nil, malformed("secret token of %d bytes contains unallowed characters or is too long", len(secret))
	case p.has("ip_address") && net.ParseIP(p.text("ip_address")) == nil:
		return nil, malformed("ip_address %q", clip(p.text("ip_address")))
	case p.has("certificate") && !strings.HasPrefix(p.text("certificate"), "attach://"):
		return nil, malformed("certificate must be uploaded")
	}
	if err := s.allow(p); err != nil {
		return nil, err
	}
	s.dropHook(p)
	s.endPoll("terminated by setWebhook request")
	h := &webhook{url: address, secret: secret, ip: p.text("ip_address"), certificate: p.has("certificate"), connections: connections}
	h.stopped, h.stop = context.WithCancel(s.stopped)
	s.hook = h
	go s.deliver(h)
	return true, nil
}

// dropHook ends the webhook there is, and drops updates if that is asked.
func (s *Server) dropHook(p params) {
	if s.hook != nil {
		s.hook.stop()
		s.hook = nil
	}
	if p.flag("drop_pending_updates") {
		s.queue.list = nil
	}
}

func (s *Server) deleteWebhook(p params, _ *call) (any, error) {
	s.dropHook(p)
	return true, nil
}

func (s *Server) getWebhookInfo(params, *call) (any, error) {
	s.expire()
	o := map[string]any{"url": "", "has_custom_certificate": false, "pending_update_count": len(s.queue.list)}
	if s.queue.allowed != nil {
		o["allowed_updates"] = s.queue.allowed
	}
	if h := s.hook; h != nil {
		o["url"], o["has_custom_certificate"], o["max_connections"] = h.url, h.certificate, h.connections
		if h.ip != "" {
			o["ip_address"] = h.ip
		}
		if h.lastError != "" {
			o["last_error_date"], o["last_error_message"] = h.lastErrorAt.Unix(), h.lastError
		}
	}
	return o, nil
}

// deliver posts updates until the webhook is stopped: one at a time in each
// lane, in order, each again and again until it is taken or expires.
func (s *Server) deliver(h *webhook) {
	client := s.cfg.WebhookClient
	if client == nil {
		client = &http.Client{Timeout: time.Minute, Transport: &http.Transport{
			// A bot under test has no certificate that anybody signed.
			TLSClientConfig: &tls.Config{InsecureSkipVerify: true},
		}}
		defer client.CloseIdleConnections()
	}
	for h.stopped.Err() == nil {
		s.mu.Lock()
		changed := s.changed
		again := time.Hour
		for _, u := range s.due(h, &again) {
			u.inFlight = true
			h.busy++
			go s.post(h, client, u)
		}
		s.mu.Unlock()
		timer := time.NewTimer(again)
		select {
		case <-changed:
		case <-timer.C:
		case <-h.stopped.Done():
		}
		timer.Stop()
	}
}

// due are the updates to post now; again is when the next one may be.
func (s *Server) due(h *webhook, again *time.Duration) []*update {
	s.expire()
	var list []*update
	lanes := make(map[int64]bool)
	for _, u := range s.queue.list {
		if lanes[u.lane] {
			continue
		}
		lanes[u.lane] = true
		wait := time.Until(u.retryAt)
		switch {
		case u.inFlight || h.busy+len(list) >= h.connections:
		case wait > 0:
			*again = min(*again, wait)
		default:
			list = append(list, u)
		}
	}
	return list
}

// post delivers one update, and says how it went.
func (s *Server) post(h *webhook, client *http.Client, u *update) {
	answer, err := h.post(client, u.body)
	s.mu.Lock()
	defer s.mu.Unlock()
	u.inFlight = false
	h.busy--
	switch {
	case err != nil:
		h.lastError, h.lastErrorAt = err.Error(), s.cfg.Now()
		u.attempts++
		u.retryAt = time.Now().Add(s.cfg.WebhookRetry * time.Duration(min(u.attempts, 10)))
	case u.again > 0:
		u.again--
	default:
		s.queue.list = slices.DeleteFunc(s.queue.list, func(o *update) bool { return o == u })
	}
	var method struct {
		Method string `json:"method"`
	}
	if json.Unmarshal(answer, &method) == nil && method.Method != "" {
		s.faults = append(s.faults, Fault{Time: s.cfg.Now(), Method: method.Method, Class: Unmodelled,
			Text: "the stand-in does not know requests in the answer to a webhook"})
	}
	s.wake()
}

func (h *webhook) post(client *http.Client, body []byte) ([]byte, error) {
	req, err := http.NewRequestWithContext(h.stopped, http.MethodPost, h.url, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	req.Header.Set("Content-Type", "application/json")
	if h.secret != "" {
		req.Header.Set("X-Telegram-Bot-Api-Secret-Token", h.secret)
	}
	resp, err := client.Do(req)
	if err != nil {
		return nil, err
	}
	defer func() { _ = resp.Body.Close() }() // only read from
	answer, err := io.ReadAll(io.LimitReader(resp.Body, 1<<20))
	if err != nil {
		return nil, err
	}
	if resp.StatusCode/100 != 2 {
		return nil, fmt.Errorf("wrong response from the webhook: %s", resp.Status)
	}
	return answer, nil
}
