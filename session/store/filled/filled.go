// Package filled makes files that have been in use for years, for tests and for
// measuring: many finished jobs, each in a chat of its own.
package filled

import (
	"fmt"
	"time"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/store"
)

// batch is how many jobs one transaction takes.
const batch = 500

// opened is when the first job was opened; each further one a minute later.
var opened = time.Date(2020, 3, 2, 7, 0, 0, 0, time.UTC)

// Jobs puts finished jobs into a file that has none of them yet: so many, each
// with a rectangle of walls, a walk of its corners and some marks, a datum and a
// signature. progress, if given, is told how many there are.
func Jobs(s *store.Store, jobs int, progress func(done int)) error {
	for from := 0; from < jobs; from += batch {
		err := s.Update(func(tx *store.Tx) error {
			for i := from; i < min(jobs, from+batch); i++ {
				if err := one(tx, i); err != nil {
					return fmt.Errorf("job %d: %w", i, err)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		if progress != nil {
			progress(min(jobs, from+batch))
		}
	}
	return nil
}

// one puts a job into the file, as the outcome of one message.
func one(tx *store.Tx, i int) error {
	at := opened.Add(time.Duration(i) * time.Minute)
	if _, err := tx.Receive([]store.Update{{ID: -1 - int64(i), Raw: []byte("{}")}}, nil, at); err != nil {
		return err
	}
	waiting := tx.Inbox(0, 1)
	chat := fmt.Sprintf("tg:%d", 5_000_000_000+i)
	person := store.Person{ID: session.PersonID(i + 1), Platform: chat, Name: fmt.Sprintf("Crew %d", i+1)}
	events, err := walked(fmt.Sprintf("old%d", i), chat, person.ID, at)
	if err != nil {
		return err
	}
	job, err := session.Fold(events)
	if err != nil {
		return err
	}
	_, err = tx.Commit(store.Commit{
		Inbox: waiting[0].Seq, Message: "1", About: job.ID, Person: person,
		Chat:         session.Chat{ID: chat, Current: job.ID, Jobs: []session.JobHeader{job.Header()}},
		Conversation: session.Conversation{Lang: "en", Job: job.ID},
		Job:          job.ID, Events: events, Made: at,
	})
	return err
}

// heights are what the rod showed from mark to mark, in sixteenths of an inch.
var heights = []int64{0, -1, -3, -2, 1, 2, 0, -4, -5, -2, -1, 0}

// walked are the events of a finished job.
func walked(id, chat string, by session.PersonID, at time.Time) ([]session.Event, error) {
	grid := reduce.GridFor(reduce.UnitInch)
	plan, err := reduce.Outline{Grid: grid}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		return nil, err
	}
	bodies := []session.Body{
		session.Opened{Job: id, Chat: chat, Name: "House of " + id},
		session.SetupOpened{Setup: 1},
		session.OutlineSet{Loops: plan.Loops, Grid: grid},
		session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: by},
	}
	for i, s := range plan.Stations()[:len(heights)] {
		bodies = append(bodies, session.Read{Round: 1, Rod: 1, Station: s, Value: reduce.Length(heights[i]) * reduce.Inch / 16, Said: "as read"})
	}
	bodies = append(bodies,
		session.RoundEnded{Round: 1},
		session.DatumSet{Choice: reduce.DatumHigh},
		session.Signed{Round: 1, Surface: "concrete", On: len(heights)})
	events := make([]session.Event, len(bodies))
	for i, b := range bodies {
		events[i] = session.Event{Seq: uint64(i) + 1, At: at.Add(time.Duration(i) * 10 * time.Second), By: by, Message: "1", Line: i + 1, Body: b}
	}
	return events, nil
}
