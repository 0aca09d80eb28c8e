package apitest

import (
	"encoding/json"
	"io"
	"slices"
	"time"
)

// A Request is one that the bot made, as it came in.
type Request struct {
	Seq         int             `json:"seq"` // from 1
	Time        time.Time       `json:"time"`
	Method      string          `json:"method"`
	Params      json.RawMessage `json:"params"` // of the types the Bot API names; a file is its file_id or attach://field
	Files       []Upload        `json:"files,omitempty"`
	Accepted    bool            `json:"accepted"` // it took effect, whether or not the bot was told
	Status      int             `json:"status"`   // 0: the connection was cut
	Description string          `json:"description,omitempty"`
	Trouble     string          `json:"trouble,omitempty"` // what was made to go wrong
}

// A Fault is something that the bot did wrong.
type Fault struct {
	Seq    int             `json:"seq,omitempty"` // of the request; 0: not in one
	Time   time.Time       `json:"time"`
	Method string          `json:"method"`
	Class  FaultClass      `json:"class"`
	Text   string          `json:"text"`
	Params json.RawMessage `json:"params,omitempty"`
}

// record keeps a request, and a fault if it was refused for one.
func (s *Server) record(req Request, no *refusal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	req.Seq, req.Time = len(s.requests)+1, s.cfg.Now()
	s.requests = append(s.requests, req)
	if no != nil && no.class != "" {
		s.faults = append(s.faults, Fault{Seq: req.Seq, Time: req.Time, Method: req.Method, Class: no.class,
			Text: no.text, Params: req.Params})
	}
	s.wake()
}

// Requests returns what the bot asked, in the order in which it was answered;
// all of it, or that of the methods named.
func (s *Server) Requests(methods ...string) []Request {
	s.mu.Lock()
	defer s.mu.Unlock()
	var found []Request
	for _, r := range s.requests {
		if len(methods) == 0 || slices.Contains(methods, r.Method) {
			found = append(found, r)
		}
	}
	return found
}

// Faults returns what the bot did wrong; all of it, or that of the classes
// named. Refusals that are no fault of the bot's are not in it: 403 from who
// blocked it, 409, 429, and a group that moved.
func (s *Server) Faults(classes ...FaultClass) []Fault {
	s.mu.Lock()
	defer s.mu.Unlock()
	var found []Fault
	for _, f := range s.faults {
		if len(classes) == 0 || slices.Contains(classes, f.Class) {
			found = append(found, f)
		}
	}
	return found
}

// WriteRequests writes Requests as lines of JSON.
func (s *Server) WriteRequests(w io.Writer, methods ...string) error {
	e := json.NewEncoder(w)
	for _, r := range s.Requests(methods...) {
		if err := e.Encode(r); err != nil {
			return err
		}
	}
	return nil
}

// WriteMessages writes what is on the screen of every chat as lines of JSON,
// chats in the order of their ids.
func (s *Server) WriteMessages(w io.Writer) error {
	s.mu.Lock()
	ids := make([]int64, 0, len(s.chats))
	for id := range s.chats {
		ids = append(ids, id)
	}
	s.mu.Unlock()
	slices.Sort(ids)
	e := json.NewEncoder(w)
	for _, id := range ids {
		for _, m := range s.Messages(id) {
			if err := e.Encode(m); err != nil {
				return err
			}
		}
	}
	return nil
}
