package store

import (
	"fmt"
	"slices"
	"time"

	"pgregory.net/rapid"

	"rodcall/session"
)

// outcome draws what a message came to.
func (m *model) outcome(t *rapid.T, inbox uint64) Commit {
	c := Commit{Inbox: inbox, Job: someJobs.Draw(t, "job"), Made: at(int(inbox))}
	// Mostly in the job's own chat.
	chat := someChats.Draw(t, "chat")
	if own := m.owner[c.Job]; own != "" && rapid.IntRange(0, 5).Draw(t, "in its own chat") > 0 {
		chat = own
	}
	c.Message = fmt.Sprint(rapid.IntRange(0, 9).Draw(t, "message"))
	c.Answers = rapid.SampledFrom([]string{"", c.Message}).Draw(t, "answers")
	c.About = rapid.SampledFrom([]string{"", "j", "j1"}).Draw(t, "about")
	c.Chat = session.Chat{ID: chat, Current: c.Job}
	for _, id := range rapid.SliceOfNDistinct(someJobs, 0, 3, rapid.ID).Draw(t, "headers") {
		c.Chat.Jobs = append(c.Chat.Jobs, session.JobHeader{ID: id, Name: "Made-up " + id, Read: rapid.IntRange(0, 99).Draw(t, "read")})
	}
	c.Conversation = session.Conversation{Lang: rapid.SampledFrom([]string{"", "en", "es"}).Draw(t, "lang"), Number: int64(inbox)}
	if id := rapid.IntRange(0, 3).Draw(t, "person"); id > 0 {
		platform := id
		if rapid.IntRange(0, 7).Draw(t, "whose platform id") == 0 {
			platform = 1
		}
		c.Person = Person{session.PersonID(id), fmt.Sprint("platform ", platform), fmt.Sprint("name ", rapid.IntRange(0, 2).Draw(t, "name"))}
	}
	seq := uint64(len(m.logs[c.Job]))
	for range rapid.IntRange(0, 3).Draw(t, "events") {
		seq++
		e := sets(seq)
		if seq == 1 && rapid.IntRange(0, 7).Draw(t, "opens") > 0 {
			e = opens(c.Job, chat)
		}
		e.Message, e.By = c.Message, c.Person.ID
		c.Events = append(c.Events, e)
	}
	if n := len(c.Events); n > 0 && rapid.IntRange(0, 7).Draw(t, "gap") == 0 {
		c.Events[n-1].Seq += rapid.SampledFrom([]uint64{1, 2, ^uint64(0)}).Draw(t, "by")
	}
	c.Replies = rapid.SliceOfN(someReply, 0, 3).Draw(t, "replies")
	return c
}

// sound says whether a commit makes sense, apart from its letter.
func (m *model) sound(c Commit) bool {
	for _, p := range m.people {
		if c.Person.ID != 0 && p.Platform == c.Person.Platform && p.ID != c.Person.ID {
			return false
		}
	}
	log := m.logs[c.Job]
	for i, e := range c.Events {
		if i == 0 && len(log) == 0 {
			if _, opens := e.Body.(session.Opened); !opens {
				return false
			}
		}
		if e.Seq != uint64(len(log)+i+1) {
			return false
		}
	}
	return len(c.Events) == 0 || len(log) == 0 || m.owner[c.Job] == c.Chat.ID
}

// took takes a commit into the model and returns the numbers of new rows.
func (m *model) took(c Commit) (rows []uint64) {
	chat := c.Chat.ID
	m.chats[chat] = c.Chat
	m.talks[fmt.Sprint(chat, " ", c.Person.ID)] = c.Conversation
	if c.Person.ID != 0 {
		m.people[c.Person.ID] = c.Person
	}
	if c.About != "" {
		m.heard[chat+" "+c.Message] = c.About
	}
	if len(c.Events) > 0 {
		m.owner[c.Job] = chat
		m.logs[c.Job] = append(m.logs[c.Job], c.Events...)
		m.headers[c.Job] = session.JobHeader{ID: c.Job}
		for _, h := range c.Chat.Jobs {
			if h.ID == c.Job {
				m.headers[c.Job] = h
			}
		}
	}
	for _, r := range c.Replies {
		same := func(o Row) bool { return r.Live != "" && o.Chat == chat && o.Reply.Live == r.Live }
		if i := slices.IndexFunc(m.outbox, same); i >= 0 {
			m.outbox[i].Reply, m.outbox[i].Made, m.outbox[i].Person, m.outbox[i].Answers = r, c.Made, c.Person.ID, c.Answers
			m.outbox[i].Version++
			continue
		}
		m.lastOut++
		m.outbox = append(m.outbox, Row{Seq: m.lastOut, Chat: chat, Reply: r, Made: c.Made, Person: c.Person.ID, Answers: c.Answers})
		rows = append(rows, m.lastOut)
	}
	return rows
}

// hold takes a row into a sender's hand, as it stands now.
func (m *model) hold(t *rapid.T, tx *Tx) {
	if len(m.outbox) == 0 {
		return
	}
	r := rapid.SampledFrom(m.outbox).Draw(t, "row")
	if got, ok, err := tx.OutboxRow(r.Seq); err != nil || !ok || got.Version != r.Version {
		t.Fatalf("row %+v, %v, %v; want %+v", got, ok, err, r)
	}
	m.held = append(m.held, r)
}

// send finishes, parks or postpones a row that a sender has in its hand, and
// that may have changed or gone meanwhile.
func (m *model) send(t *rapid.T, tx *Tx) {
	if len(m.held) == 0 {
		return
	}
	n := rapid.IntRange(0, len(m.held)-1).Draw(t, "held")
	r := m.held[n]
	m.held = slices.Delete(m.held, n, n+1)
	i := slices.IndexFunc(m.outbox, func(o Row) bool { return o.Seq == r.Seq })
	newer, err := false, error(nil)
	switch rapid.IntRange(0, 2).Draw(t, "sent, parked or postponed") {
	case 0:
		sent := fmt.Sprint(rapid.IntRange(0, 9).Draw(t, "sent as"))
		newer, err = tx.Delivered(r, sent)
		asks := r.Reply.Asks
		if asks.Job == "" {
			asks.Job = r.Reply.Picture
		}
		if asks != (session.Place{}) {
			m.asked[r.Chat+" "+sent] = asks
		}
	case 1:
		newer, err = tx.Park(r, fmt.Errorf("row %d", r.Seq))
		m.parked = slices.DeleteFunc(m.parked, func(p Parked) bool { return p.Seq == r.Seq })
		m.parked = append(m.parked, Parked{r, fmt.Sprint("row ", r.Seq)})
		slices.SortFunc(m.parked, func(a, b Parked) int { return int(a.Seq) - int(b.Seq) })
	case 2:
		now, wait := at(rapid.IntRange(0, 99).Draw(t, "now")), time.Duration(rapid.IntRange(0, 99).Draw(t, "wait"))*time.Second
		if err := tx.Postpone(r, now, wait); err != nil {
			t.Fatal(err)
		}
		if i >= 0 {
			m.outbox[i].Attempt++
			m.outbox[i].NotBefore, m.outbox[i].Wait = now.Add(wait), wait
		}
		return
	}
	if want := i >= 0 && m.outbox[i].Version != r.Version; err != nil || newer != want {
		t.Fatalf("newer %v, %v; want %v", newer, err, want)
	}
	if i >= 0 && !newer {
		m.outbox = slices.Delete(m.outbox, i, i+1)
	}
}
