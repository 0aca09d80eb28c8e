package engine

import (
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
// sender is to be told.
func (s *senders) take(sender string, kind session.MessageKind, at time.Time) (ok, tell bool) {
	if s.perSecond <= 0 {
		return true, false
	}
	of := stream{sender, kind == session.Tapped}
	p := s.by[of]
	if p == nil {
		if s.by == nil || len(s.by) >= maxSenders {
			s.by = map[stream]*senderPace{}
		}
		p = &senderPace{Limiter: rate.NewLimiter(rate.Limit(s.perSecond), floodAtOnce)}
		s.by[of] = p
	}
	if at.Before(p.last) {
		at = p.last // it came late: that is no pause
	}
	if p.shut && at.Sub(p.last) >= floodQuiet {
		p.shut = false
	}
	p.last = at
	cost := 1
	if kind == session.Spoken || kind == session.Showed {
		cost = floodSlow
	}
	switch {
	case !p.shut && p.AllowN(at, cost):
		return true, false
	case !p.shut, at.Sub(p.told) >= floodAgain:
		p.shut, p.told = true, at
		return false, true
	}
	return false, false
}

// refuse takes letters of a chat out of the inbox that are not to be heard, for
// their senders flood, in one transaction; and tells those who are to be told.
func (e *Engine) refuse(chat string, over []waiting) error {
	said := make([][]session.Reply, len(over))
	for i, w := range over {
		if w.in == nil {
			continue
		}
		a, err := e.accessOf(*w.in)
		if err != nil {
			return err
		}
		if r, ok := session.Flooded(a, w.in.Message); ok {
			said[i] = []session.Reply{r}
		}
		e.log.Warn("somebody sends more than is taken; nothing of it is until they pause", "inbox", w.seq)
	}
	var rows []uint64
	made := e.cfg.Now()
	err := e.insist("what is too much", func(tx *store.Tx) error {
		rows = nil
		for i, w := range over {
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
