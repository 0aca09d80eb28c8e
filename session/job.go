package session

import (
	"fmt"
	"time"

	"rodcall/reduce"
)

// State of a job.
type State string

// The states.
const (
	StateWalk   State = "walk"   // stations are being read
	StateReview State = "review" // the round has ended; a datum may be chosen
	StateShim   State = "shim"   // later: shims are being set
	StateSigned State = "signed" // later
)

// Job is the fold of a log: all that its events say. Only Apply changes it.
type Job struct {
	ID       string
	Chat     string
	Name     string
	Opened   time.Time
	OpenedBy PersonID
	Seq      uint64 // of the newest event
	Settings
	Setups []Setup
	Rods   []Rod
	rest   jobRest
}

// Settings of a job: replaced, never changed in place.
type Settings struct {
	Unit         reduce.Unit
	Finest       reduce.Length
	Outline      *reduce.Outline // never nil; empty for a free walk
	Reference    reduce.Station
	Datum        *DatumSet // nil until chosen
	Tolerance    reduce.Length
	ToleranceSet bool // the crew set it; else it is ours
	Round        int
	RoundEnded   bool
	Surface      string
	BoltsTight   bool
}

// Setup is the laser standing in one place.
type Setup struct {
	ID     int
	Opened time.Time
	Bumped bool
}

// Rod is a rod of the job and who holds it.
type Rod struct {
	reduce.Rod
	Setup  int
	By     PersonID // who holds it, or held it last
	Tested bool     // passed or was flipped by the ten-second test
}

// Reading is a reading in the job's history.
type Reading struct {
	Seq     uint64
	At      time.Time
	By      PersonID
	Message string
	Line    int
	Read
	Void bool // taken back, edited away, or replaced by a later one
}

type jobRest struct{}

// NewJob is a job before its first event.
func NewJob() *Job { return &Job{} }

// Apply takes the next event. It refuses one out of order and leaves the job
// as it was.
func (j *Job) Apply(e Event) error {
	if e.Seq != j.Seq+1 {
		return fmt.Errorf("event %d after event %d", e.Seq, j.Seq)
	}
	if o, ok := e.Body.(Opened); ok {
		j.ID, j.Chat, j.Name, j.Opened, j.OpenedBy = o.Job, o.Chat, o.Name, e.At, e.By
	}
	j.Seq = e.Seq
	return nil
}

// Header is the job in one line.
func (j *Job) Header() JobHeader {
	return JobHeader{ID: j.ID, Name: j.Name, State: StateWalk, Events: j.Seq, Opened: j.Opened}
}
