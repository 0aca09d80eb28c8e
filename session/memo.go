package session

import (
	"maps"

	"rodcall/reduce"
)

// memo is what a scratch job has worked out of itself. Only one message's
// hearing holds such a job; the jobs that many read at once have none.
type memo struct {
	seq  uint64
	read map[reduce.Station]bool

	doneSeq uint64
	done    map[reduce.Station]bool

	walkSeq uint64
	walking *bool
}

// readNow are the stations with a reading that counts in this round. The map
// is not to be changed.
func (j *Job) readNow() map[reduce.Station]bool {
	m := j.memo
	if m != nil && m.read != nil && m.seq == j.Seq {
		return m.read
	}
	read := make(map[reduce.Station]bool, len(j.slots))
	for k := range j.slots {
		if k.round == j.Round && !j.empty[k] {
			read[k.station] = true
		}
	}
	if m != nil {
		m.seq, m.read = j.Seq, read
	}
	return read
}

// nowRead keeps readNow as it is after one more reading, the event next.
func (m *memo) nowRead(j *Job, b Read, next uint64) {
	if m == nil || m.read == nil || m.seq != j.Seq {
		return
	}
	m.seq = next
	if b.Round == j.Round && !m.read[b.Station] {
		// Somebody may still look at it as it was.
		m.read = maps.Clone(m.read)
		m.read[b.Station] = true
	}
}

// stations are the outline's stations in walking order. The list is not to be
// changed.
func (j *Job) stations() []reduce.Station { return j.order }
