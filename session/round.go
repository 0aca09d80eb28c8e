package session

import (
	"slices"

	"rodcall/reduce"
)

// openRound begins a further round.
func (j *Job) openRound(b RoundOpened) {
	j.Past = append(slices.Clip(j.Past), PastRound{j.Round, j.Surface, j.BoltsTight, j.Walk, j.Hang})
	j.Round, j.RoundEnded, j.Surface, j.BoltsTight = b.Round, false, b.Surface, b.Tight
	j.Walk, j.Hang = b.Walk, b.Hang
	j.last = reduce.Station{}
}

// rounds are all rounds of the job, the present one last.
func (j *Job) rounds() []PastRound {
	return append(slices.Clip(j.Past), PastRound{j.Round, j.Surface, j.BoltsTight, j.Walk, j.Hang})
}

// round is a round of the job by its number.
func (j *Job) round(n int) PastRound {
	if i := slices.IndexFunc(j.Past, func(p PastRound) bool { return p.Round == n }); i >= 0 {
		return j.Past[i]
	}
	return PastRound{j.Round, j.Surface, j.BoltsTight, j.Walk, j.Hang}
}

// free says that nothing tells which stations the walk asks for.
func (j *Job) free() bool { return j.Outline.Empty() && len(j.Walk) == 0 }

// asked are the stations that this round asks for, in walking order. The list
// is not to be changed.
func (j *Job) asked() []reduce.Station {
	if j.Round == 1 {
		return j.stations()
	}
	return j.Walk
}

// walking says that the round is not over: stations are being read.
func (j *Job) walking() bool {
	m := j.memo
	if m != nil && m.walking != nil && m.walkSeq == j.Seq {
		return *m.walking
	}
	walking := j.walks()
	if m != nil {
		m.walkSeq, m.walking = j.Seq, &walking
	}
	return walking
}

func (j *Job) walks() bool {
	if j.RoundEnded {
		return false
	}
	if walk := j.asked(); len(walk) > 0 {
		read := j.doneNow()
		return slices.ContainsFunc(walk, func(s reduce.Station) bool { return !read[s] })
	}
	return true
}

// everRead says whether a reading of a station counts in any round.
func (j *Job) everRead(s reduce.Station) bool {
	for k := range j.slots {
		if k.station == s && !j.empty[k] {
			return true
		}
	}
	return false
}
