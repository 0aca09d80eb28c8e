package engine

import (
	"errors"
	"time"

	"golang.org/x/time/rate"

	"rodcall/session"
	"rodcall/session/store"
)

const (
	// floodAtOnce is how many messages one sender may send at once, after a pause:
	// twice the lines of a long walk, which come together where there was no signal.
	floodAtOnce = 120
	// floodSlow is what a voice note or a photo counts for: it is fetched, and keeps
	// a processor busy.
	floodSlow = 2
	// floodQuiet is for how long somebody must send nothing to be heard again. Were
	// some of their messages taken and some not, readings would come to stand at
	// stations where nobody took them.
	floodQuiet = 30 * time.Second
	// floodAgain is how long somebody who sends on all the same is not told again.
	floodAgain = 5 * time.Minute
	// maxSenders bounds how many senders are remembered.
	maxSenders = 4096
)

// senders are those who sent something lately, and whether they flood. It goes by
// the times at which messages were sent, as the platform tells them: what was sent
// at a walker's pace while the program was down is no flood, though it comes at
// once. Only dispatch uses it.
type senders struct {
	perSecond int
	by        map[stream]*senderPace
	// kept is what the file holds of a sender of whom nothing is taken; warned says
	// that they were told, or never are.
	kept func(sender string) (s store.Shut, ok, warned bool)
}

// stream is what somebody sends, or what they tap. Of a tap the platform does not
// tell when it was made, so its time is another clock's and says nothing of the
// messages around it. It needs no station either: it answers one question.
type stream struct {
	sender string
	taps   bool
}

// senderPace is how fast somebody sends.
type senderPace struct {
	*rate.Limiter
	last time.Time // when they sent something last
	shut bool      // nothing is taken until they pause
	told time.Time
}

// take says whether a message is to be taken; and where it is not, whether its
// sender is to be told. reopened says that it is the first that is taken again.
//
// Nobody is heard again before the word that they are not was sent: in a queue that
// came while the program was down a pause is none, for they went on unwarned.
func (s *senders) take(sender string, kind session.MessageKind, at time.Time) (ok, tell, reopened bool) {
	if s.perSecond <= 0 {
		return true, false, false
	}
	of := stream{sender, kind == session.Tapped}
	p := s.by[of]
	if p == nil {
		if s.by == nil || len(s.by) >= maxSenders {
			s.by = map[stream]*senderPace{}
		}
		p = &senderPace{Limiter: rate.NewLimiter(rate.Limit(s.perSecond), floodAtOnce)}
		s.by[of] = p
		if was, shut, _ := s.kept(sender); shut && !of.taps {
			p.shut, p.last = true, was.Last
		}
	}
	if at.Before(p.last) {
		at = p.last // it came late: that is no pause
	}
	if p.shut && at.Sub(p.last) >= floodQuiet {
		_, was, warned := s.kept(sender)
		p.shut = !warned && !of.taps
		reopened = !p.shut && was && !of.taps
	}
	p.last = at
	cost := 1
	if kind == session.Spoken || kind == session.Showed {
		cost = floodSlow
	}
	switch {
	case !p.shut && p.AllowN(at, cost):
		return true, false, reopened
	case !p.shut, at.Sub(p.told) >= floodAgain:
		p.shut, p.told = true, at
		return false, true, false
	}
	return false, false, false
}

// shutOf looks up whether nothing is taken of a sender. Of a stranger nothing is
// kept, and they are not told.
func (e *Engine) shutOf(sender string) (s store.Shut, ok, warned bool) {
	err := e.cfg.Store.View(func(tx *store.Tx) (err error) {
		if s, ok, err = tx.ShutOf(sender); err != nil {
			return err
		}
		_, waits, err := tx.OutboxRow(s.Warned)
		warned = ok && !waits || tx.PersonOf(sender) == 0
		return err
	})
	if err != nil {
		e.log.Error("cannot look up whether somebody is to be heard again", "err", err)
	}
	return s, ok, warned
}

// stationOf is the name of the station that the next reading of whoever sent a message
// would be taken for, "" for none.
func (e *Engine) stationOf(in Incoming) (name string, err error) {
	err = e.cfg.Store.View(func(tx *store.Tx) error {
		person := tx.PersonOf(in.PersonPlatformID)
		chat, err := tx.Chat(in.Chat)
		if err != nil || chat.Current == "" {
			return err
		}
		c, err := tx.Conversation(in.Chat, person)
		if err != nil {
			return err
		}
		top, err := tx.TopOf(chat.Current, store.Top{})
		if err != nil || top.Chat != in.Chat {
			return err
		}
		j, err := e.jobs.at(tx, top.Header)
		if err != nil {
			return err
		}
		j.mu.RLock()
		defer j.mu.RUnlock()
		in.Message.From.ID = person
		name = session.StandsAt(chat, j.job, c, in.Message)
		return nil
	})
	return name, err
}

// placeOf looks up what somebody is told of a flood by: accessOf and stationOf.
func (e *Engine) placeOf(in Incoming) (a session.Access, station string, err error) {
	if a, err = e.accessOf(in); err != nil {
		return a, "", err
	}
	station, err = e.stationOf(in)
	return a, station, err
}

// reopen notes that the sender of a message is heard again, and has them told where
// they are. Where that cannot be, they are heard all the same.
func (e *Engine) reopen(chat string, w *waiting) {
	err := func() error {
		if w.in == nil {
			in, err := e.reread(chat, w.seq)
			if err != nil {
				return err
			}
			w.in = &in
		}
		a, station, err := e.placeOf(*w.in)
		if err != nil {
			return err
		}
		s, _, _ := e.shutOf(w.in.PersonPlatformID)
		r, ok := session.Unflooded(a, w.in.Message, s.Refused, station)
		if !ok {
			return nil
		}
		made := e.cfg.Now()
		var row uint64
		return e.insist("that somebody is heard again", func(tx *store.Tx) (err error) {
			row, err = tx.Reopen(w.in.PersonPlatformID, chat, r, made)
			return err
		}, func() {
			e.count(1)
			e.queueRows(chat, []unsent{{seq: row}})
		})
	}()
	if err != nil && !errors.Is(err, ErrClosed) {
		e.log.Error("somebody is heard again who could not be told", "inbox", w.seq, "err", err)
	}
}

// refuse takes letters of a chat out of the inbox that are not to be heard, for
// their senders flood, in one transaction; and tells those who are to be told.
func (e *Engine) refuse(chat string, over []waiting) error {
	said := make([][]session.Reply, len(over))
	for i, w := range over {
		if w.in == nil {
			continue
		}
		a, station, err := e.placeOf(*w.in)
		if err != nil {
			return err
		}
		if r, ok := session.Flooded(a, w.in.Message, station); ok {
			said[i] = []session.Reply{r}
		}
		e.log.Warn("somebody sends more than is taken; nothing of it is until they pause", "inbox", w.seq)
	}
	var rows []uint64
	made := e.cfg.Now()
	err := e.insist("what is too much", func(tx *store.Tx) error {
		rows = nil
		shut := map[string]store.Shut{}
		for i, w := range over {
			s, begun := shut[w.sender]
			if !begun {
				var err error
				if s, _, err = tx.ShutOf(w.sender); err != nil {
					return err
				}
			}
			s.Refused++
			s.Last = later(s.Last, w.at)
			shut[w.sender] = s
			if said[i] == nil {
				if err := tx.Ignore(w.seq); err != nil {
					return err
				}
				continue
			}
			sent, err := tx.TurnAway(w.seq, chat, store.Door{Platform: w.in.PersonPlatformID, Admission: session.Admission{Replies: said[i]}}, made)
			if err != nil {
				return err
			}
			rows = append(rows, sent...)
			s.Warned = sent[0]
			shut[w.sender] = s
		}
		delete(shut, "") // of taps, and of chats without persons
		for sender, s := range shut {
			if err := tx.KeepShut(sender, s); err != nil {
				return err
			}
		}
		return nil
	}, func() {
		e.count(len(rows) - len(over))
		e.cfg.Meter.Refused(len(over))
		unread := make([]unsent, len(rows))
		for i, seq := range rows {
			unread[i].seq = seq
		}
		e.queueRows(chat, unread)
	})
	return err
}
