package session

import "rodcall/reduce"

// memo is what a scratch job has worked out of itself. Only one message's
// hearing holds such a job; the jobs that many read at once have none.
type memo struct {
	seq  uint64
	read map[reduce.Station]bool

	doneSeq uint64
	done    map[reduce.Station]bool
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

// stations are the outline's stations in walking order. The list is not to be
// changed.
func (j *Job) stations() []reduce.Station { return j.order }
