package engine

import (
	"container/list"
	"sync"

	"rodcall/session"
	"rodcall/session/store"
)

// eventsPerJob bounds what the cache holds all in all: so many events for
// each job that it may hold.
const eventsPerJob = 400

// jobs keeps folded jobs, those used last. An entry never says more than the
// log does, and whoever uses one first brings it up to the log, so that an
// entry which was dropped, or is there twice, does no harm.
type jobs struct {
	most   int
	mu     sync.Mutex
	byID   map[string]*list.Element // of *entry
	order  *list.List               // used last first
	events uint64
}

type entry struct {
	id   string
	size uint64 // its share of jobs.events; guarded by jobs.mu

	mu  sync.RWMutex
	job *session.Job
}

func newJobs(most int) *jobs {
	return &jobs{most: most, byID: map[string]*list.Element{}, order: list.New()}
}

// at returns the entry of a job as it stands in the transaction, or a little
// later. The job is to be read under mu.RLock.
func (c *jobs) at(tx *store.Tx, h store.Header) (*entry, error) {
	e := c.entry(h.ID)
	e.mu.RLock()
	seq := e.job.Seq
	e.mu.RUnlock()
	if seq < h.Seq {
		if err := e.catchUp(tx, h); err != nil {
			c.drop(e)
			return nil, err
		}
		c.weigh(e, h.Seq)
	}
	return e, nil
}

func (e *entry) catchUp(tx *store.Tx, h store.Header) error {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.job.Seq >= h.Seq {
		return nil
	}
	if err := tx.CatchUp(h.ID, e.job); err != nil {
		e.job = session.NewJob()
		return err
	}
	return nil
}

// apply takes committed events into the job in memory, if it stands just
// before them. It drops the job where that fails.
func (c *jobs) apply(id string, events []session.Event) error {
	e := c.entry(id)
	e.mu.Lock()
	var err error
	for _, ev := range events {
		if ev.Seq != e.job.Seq+1 {
			continue
		}
		if err = e.job.Apply(ev); err != nil {
			e.job = session.NewJob()
			break
		}
	}
	seq := e.job.Seq
	e.mu.Unlock()
	if err != nil {
		c.drop(e)
		return err
	}
	c.weigh(e, seq)
	return nil
}

// entry returns the entry of a job, and makes it the one used last.
func (c *jobs) entry(id string) *entry {
	c.mu.Lock()
	defer c.mu.Unlock()
	if el, ok := c.byID[id]; ok {
		c.order.MoveToFront(el)
		return el.Value.(*entry)
	}
	e := &entry{id: id, job: session.NewJob()}
	c.byID[id] = c.order.PushFront(e)
	c.trim()
	return e
}

func (c *jobs) weigh(e *entry, events uint64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if el, ok := c.byID[e.id]; !ok || el.Value.(*entry) != e {
		return
	}
	c.events += events - e.size
	e.size = events
	c.trim()
}

func (c *jobs) drop(e *entry) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if el, ok := c.byID[e.id]; ok && el.Value.(*entry) == e {
		c.remove(el)
	}
}

func (c *jobs) trim() {
	for c.order.Len() > 1 && (c.order.Len() > c.most || c.events > uint64(c.most)*eventsPerJob) {
		c.remove(c.order.Back())
	}
}

func (c *jobs) remove(el *list.Element) {
	e := el.Value.(*entry)
	c.order.Remove(el)
	delete(c.byID, e.id)
	c.events -= e.size
}
