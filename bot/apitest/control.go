package apitest

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
)

// controlArgs are the fields that the control's requests may have.
type controlArgs struct {
	User      int64           `json:"user"` // who acts
	Who       int64           `json:"who"`  // who is acted on; 0: the bot
	ChatID    int64           `json:"chat_id"`
	Topic     int             `json:"topic"`
	MessageID int             `json:"message_id"`
	Text      string          `json:"text"` // also a caption, a title, a button, a key, a name
	Data      []byte          `json:"data"` // base64
	Name      string          `json:"name"` // a file's, or a user name
	Language  string          `json:"language"`
	Members   []int64         `json:"members"`
	Fields    map[string]any  `json:"fields"`
	Update    json.RawMessage `json:"update"`
	Troubles  []Trouble       `json:"troubles"`
	Schedule  Schedule        `json:"schedule"`
	Rates     Rates           `json:"rates"`
	On        bool            `json:"on"`
	ID        int64           `json:"id"`
	Query     string          `json:"query"`
	Methods   []string        `json:"methods"`
	Classes   []FaultClass    `json:"classes"`
}

// controlVerb does one thing; chat and user are those that the request names.
type controlVerb func(s *Server, a controlArgs, c *Chat, u User) (any, error)

// ids answers with a message's id.
func ids(id int) any { return map[string]int{"message_id": id} }

// chatIDs answers with a chat's id, and the topic's.
func chatIDs(c *Chat) any { return map[string]any{"chat_id": c.id, "topic": c.topic} }

// onServer are the control's verbs that need no chat.
var onServer = map[string]controlVerb{
	"user": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) {
		u := s.User(a.Text)
		u.Username, u.LanguageCode = a.Name, a.Language
		s.mu.Lock()
		defer s.mu.Unlock()
		s.users[u.ID] = u
		return u, nil
	},
	"private": func(s *Server, _ controlArgs, _ *Chat, u User) (any, error) {
		if u.ID == 0 {
			return nil, errors.New("no such user")
		}
		return chatIDs(s.Private(u)), nil
	},
	"follow": func(s *Server, a controlArgs, _ *Chat, u User) (any, error) {
		c, err := s.Follow(u, a.Text)
		if err != nil {
			return nil, err
		}
		return chatIDs(c), nil
	},
	"group": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) {
		members, err := s.usersOf(a.Members)
		if err != nil {
			return nil, err
		}
		return chatIDs(s.Group(a.Text, members...)), nil
	},
	"small-group": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) {
		members, err := s.usersOf(a.Members)
		if err != nil {
			return nil, err
		}
		return chatIDs(s.SmallGroup(a.Text, members...)), nil
	},
	"deliver": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { return nil, s.Deliver(a.Update) },
	"inject":  func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { s.Inject(a.Troubles...); return nil, nil },
	"schedule": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) {
		s.Schedule(a.Schedule)
		return nil, nil
	},
	"rates":    func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { s.SetRates(a.Rates); return nil, nil },
	"down":     func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { s.SetDown(a.On); return nil, nil },
	"privacy":  func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { s.SetPrivacy(a.On); return nil, nil },
	"jump":     func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { return s.JumpUpdateID(a.ID), nil },
	"tapagain": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { return s.TapAgain(a.Query), nil },
	"pending":  func(s *Server, _ controlArgs, _ *Chat, _ User) (any, error) { return s.Pending(), nil },
	"taps":     func(s *Server, _ controlArgs, _ *Chat, _ User) (any, error) { return s.Taps(), nil },
	"requests": func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { return s.Requests(a.Methods...), nil },
	"faults":   func(s *Server, a controlArgs, _ *Chat, _ User) (any, error) { return s.Faults(a.Classes...), nil },
}

// inChat are the control's verbs that act in, or look at, a chat.
var inChat = map[string]controlVerb{
	"say": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		if a.MessageID != 0 {
			return ids(c.Reply(u, a.MessageID, a.Text)), nil
		}
		return ids(c.Say(u, a.Text)), nil
	},
	"edit": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		return nil, c.Edit(u, a.MessageID, a.Text)
	},
	"delete": func(_ *Server, a controlArgs, c *Chat, _ User) (any, error) {
		c.Delete(a.MessageID)
		return nil, nil
	},
	"tap": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		id, err := c.Tap(u, a.MessageID, a.Text)
		return map[string]string{"query": id}, err
	},
	"forge": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		return map[string]string{"query": c.Forge(u, a.MessageID, a.Text)}, nil
	},
	"press": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		id, err := c.Press(u, a.Text)
		return ids(id), err
	},
	"voice": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) { return ids(c.Voice(u, a.Data)), nil },
	"photo": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		return ids(c.Photo(u, a.Data, a.Text)), nil
	},
	"document": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		return ids(c.Document(u, a.Name, a.Data, a.Text)), nil
	},
	"send": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) { return ids(c.Send(u, a.Fields)), nil },
	"react": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		c.React(u, a.MessageID, a.Text)
		return nil, nil
	},
	"block":   func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { c.Block(u); return nil, nil },
	"unblock": func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { c.Unblock(u); return nil, nil },
	"join":    func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { c.Join(u); return nil, nil },
	"leave":   func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { c.Leave(u); return nil, nil },
	"promote": func(s *Server, a controlArgs, c *Chat, u User) (any, error) { c.Promote(u, s.who(a)); return nil, nil },
	"demote":  func(s *Server, a controlArgs, c *Chat, u User) (any, error) { c.Demote(u, s.who(a)); return nil, nil },
	"topic": func(_ *Server, a controlArgs, c *Chat, u User) (any, error) {
		return chatIDs(c.OpenTopic(u, a.Text)), nil
	},
	"migrate":  func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { return chatIDs(c.Migrate(u)), nil },
	"messages": func(_ *Server, _ controlArgs, c *Chat, _ User) (any, error) { return c.Messages(), nil },
	"screen":   func(_ *Server, _ controlArgs, c *Chat, _ User) (any, error) { return c.Screen(), nil },
	"keyboard": func(_ *Server, _ controlArgs, c *Chat, u User) (any, error) { return c.Keyboard(u), nil },
}

// looks are the verbs that nobody in particular does.
var looks = map[string]bool{"messages": true, "screen": true, "delete": true}

func (s *Server) usersOf(ids []int64) ([]User, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var list []User
	for _, id := range ids {
		u, known := s.users[id]
		if !known {
			return nil, fmt.Errorf("no user %d", id)
		}
		list = append(list, u)
	}
	return list, nil
}

func (s *Server) who(a controlArgs) User {
	if a.Who == 0 {
		return s.bot
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.users[a.Who]
}

// Control lets another process act on the server: a POST to /control/<verb>
// with a JSON object does what the method of that name does, and answers with
// its result as JSON, or with 400 and {"error": …}. Verbs without a chat:
// user, private, follow, group, small-group, deliver, inject, schedule, rates, down,
// privacy, jump, tapagain, pending, taps, requests, faults. Verbs in a chat:
// say (with message_id: a reply), edit, delete, tap, forge, press, voice,
// photo, document, send, react, block, unblock, join, leave, promote, demote,
// topic, migrate, messages, screen, keyboard. Fields: user, who, chat_id,
// topic, message_id, text, data (base64), name, language, members, fields,
// update, troubles, schedule, rates, on, id, query, methods, classes.
func (s *Server) Control() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var a controlArgs
		result, err := any(nil), error(nil)
		if r.Method == http.MethodPost && r.ContentLength != 0 {
			d := json.NewDecoder(r.Body)
			d.DisallowUnknownFields()
			err = d.Decode(&a)
		}
		if err == nil {
			result, err = s.control(strings.TrimPrefix(r.URL.Path, "/control/"), a)
		}
		if err != nil {
			writeJSON(w, http.StatusBadRequest, map[string]string{"error": err.Error()})
			return
		}
		writeJSON(w, http.StatusOK, result)
	})
}

func (s *Server) control(verb string, a controlArgs) (result any, err error) {
	defer func() {
		if p := recover(); p != nil { // the methods panic when they are asked what cannot be
			err = fmt.Errorf("%v", p)
		}
	}()
	s.mu.Lock()
	u, known := s.users[a.User]
	s.mu.Unlock()
	if do := onServer[verb]; do != nil {
		return do(s, a, nil, u)
	}
	do := inChat[verb]
	c := s.Chat(a.ChatID)
	switch {
	case do == nil:
		return nil, fmt.Errorf("no verb %q", verb)
	case c == nil:
		return nil, fmt.Errorf("no chat %d", a.ChatID)
	case !known && !looks[verb]:
		return nil, fmt.Errorf("no user %d", a.User)
	}
	c.topic = a.Topic
	return do(s, a, c, u)
}
