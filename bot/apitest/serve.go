package apitest

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// A handler carries out a method. It is called with s.mu held.
type handler func(s *Server, p params, c *call) (any, error)

var handlers = map[string]handler{
	"getMe":                  (*Server).getMe,
	"logOut":                 (*Server).logOut,
	"close":                  (*Server).closeBot,
	"setWebhook":             (*Server).setWebhook,
	"deleteWebhook":          (*Server).deleteWebhook,
	"getWebhookInfo":         (*Server).getWebhookInfo,
	"sendMessage":            (*Server).sendMessage,
	"sendPhoto":              (*Server).sendPhoto,
	"sendDocument":           (*Server).sendDocument,
	"sendVoice":              (*Server).sendVoice,
	"editMessageText":        (*Server).editMessageText,
	"editMessageCaption":     (*Server).editMessageCaption,
	"editMessageMedia":       (*Server).editMessageMedia,
	"editMessageReplyMarkup": (*Server).editMessageReplyMarkup,
	"deleteMessage":          (*Server).deleteMessage,
	"sendChatAction":         (*Server).sendChatAction,
	"answerCallbackQuery":    (*Server).answerCallbackQuery,
	"setMyCommands":          (*Server).setMyCommands,
	"getMyCommands":          (*Server).getMyCommands,
	"deleteMyCommands":       (*Server).deleteMyCommands,
	"getFile":                (*Server).getFile,
	"setMessageReaction":     (*Server).setMessageReaction,
	"getChat":                (*Server).getChat,
	"getChatMember":          (*Server).getChatMember,
	"getChatMemberCount":     (*Server).getChatMemberCount,
	"getChatAdministrators":  (*Server).getChatAdministrators,
}

// named is the method as the Bot API spells it: the case of its letters does
// not matter.
func named(method string) string {
	for name := range methods {
		if strings.EqualFold(name, method) {
			return name
		}
	}
	return method
}

// serveMethod reads, judges, carries out and records one request.
func (s *Server) serveMethod(w http.ResponseWriter, r *http.Request, method string) {
	method = named(method)
	c, err := readCall(r, method)
	req := Request{Method: method, Files: c.order, Params: c.raw()}
	if errors.Is(err, errGone) { // which a bot that is killed does, and is no fault
		req.Trouble = err.Error()
		s.record(req, nil)
		panic(http.ErrAbortHandler)
	}
	// Whoever sent all of its request may be gone too: it is carried out.
	trouble := s.troubleFor(c)
	req.Trouble = trouble.name()
	if trouble != nil {
		if trouble.Kind != CutAfter {
			s.wait(r, trouble.Delay)
		}
		switch trouble.Kind {
		case CutBefore:
			s.record(req, nil)
			panic(http.ErrAbortHandler)
		case ServerError:
			req.Status = trouble.status()
			s.record(req, nil)
			w.Header().Set("Content-Type", "text/html")
			w.WriteHeader(req.Status)
			_, _ = w.Write([]byte("<html><head><title>" + strconv.Itoa(req.Status) + "</title></head><body>" + r.URL.Path + "</body></html>"))
			return
		case TooMany:
			err = tooMany(trouble.RetryAfter)
		case Slow, CutAfter:
		}
	}
	var result any
	if err == nil {
		result, err = s.carryOut(r, c, &req)
	}
	if err == nil && trouble != nil && trouble.Kind == CutAfter {
		req.Accepted = true
		s.record(req, nil)
		s.wait(r, trouble.Delay) // the client may run out of time first
		panic(http.ErrAbortHandler)
	}
	if err == nil {
		req.Status, req.Accepted = http.StatusOK, true
		s.record(req, nil)
		writeJSON(w, http.StatusOK, map[string]any{"ok": true, "result": result})
		return
	}
	var no *refusal
	if !errors.As(err, &no) {
		panic(err) // every way to fail is a refusal
	}
	req.Status, req.Description = no.code, no.text
	s.record(req, no)
	writeJSON(w, no.code, no.body())
}

// carryOut checks a request and does what it asks.
func (s *Server) carryOut(r *http.Request, c *call, req *Request) (any, error) {
	schema, known := methods[c.method]
	if !known {
		return nil, &refusal{code: http.StatusNotFound, class: Malformed, text: "Not Found: method not found"}
	}
	p, err := checkCall(schema, c)
	if err != nil {
		return nil, err
	}
	if req.Params, err = json.Marshal(p); err != nil {
		return nil, malformed("%v", err)
	}
	if c.method == "getUpdates" {
		return s.getUpdates(r, p)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.loggedOut {
		return nil, &refusal{code: http.StatusBadRequest, class: Misplaced, text: "Logged out"}
	}
	if err := s.rates.check(s, c.method, p); err != nil {
		return nil, err
	}
	result, err := handlers[c.method](s, p, c)
	if err == nil {
		s.rates.take(s, c.method, p)
		s.wake()
	}
	return result, err
}

// wait passes time, unless the client or the server goes away.
func (s *Server) wait(r *http.Request, d time.Duration) {
	if d <= 0 {
		return
	}
	select {
	case <-time.After(d):
	case <-r.Context().Done():
	case <-s.stopped.Done():
	}
}

func writeJSON(w http.ResponseWriter, code int, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		panic(err) // all of it was made here
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_, _ = w.Write(body) // the client may be gone
}
