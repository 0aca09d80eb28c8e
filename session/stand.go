package session

import "rodcall/reduce"

// stand is what is known in a round of how high a spot stands.
type stand struct {
	round     int            // in which it was read last, 0 for never
	elevation *reduce.Length // as read then; nil where that holds no more, or is not tied
	carried   bool           // from an earlier round: nobody touched it since
	touched   bool           // shims were set since
	set       reduce.Length  // so much of them
	foreseen  *reduce.Length // what it should be by now; nil where nothing tells
}

// at is a station's elevation as read in a round.
func (a *adjusted) at(s reduce.Station, round int) (reduce.Length, bool) {
	u := a.record.key(s, round)
	e, ok := a.all.Elevations[u.key]
	return e + u.more, ok
}

// stand is what was known of a station at a round's end.
func (a *adjusted) stand(s reduce.Station, round int) stand {
	out := a.before(s, round)
	now, read := a.record.read(s, round)
	if a.record.reads == nil {
		// One round, and nobody has touched anything.
		e, ok := a.all.Elevations[s]
		if !ok {
			return stand{}
		}
		return stand{round: 1, elevation: &e, foreseen: &e}
	}
	if !read {
		return out
	}
	out = stand{round: round}
	e, ok := a.at(s, round)
	if !ok {
		return out
	}
	out.elevation = &e
	out.set, out.touched = a.record.setBetween(s, now, moment{round, ^uint64(0)})
	f := e + out.set
	out.foreseen = &f
	return out
}

// before is what is known of a station in a round while it is not read there.
func (a *adjusted) before(s reduce.Station, round int) stand {
	r := a.record
	from, ok := r.lastBefore(s, round)
	for ok {
		e, tied := a.at(s, from.round)
		if !tied {
			from, ok = r.lastBefore(s, from.round)
			continue
		}
		if offSill(s) {
			return stand{round: from.round, elevation: &e, carried: true, foreseen: &e}
		}
		out := stand{round: from.round}
		end := moment{round, ^uint64(0)}
		if now, read := r.read(s, round); read {
			end = now
		}
		out.set, out.touched = r.setBetween(s, from, end)
		if !out.touched && r.job.stood(from.round) == r.job.stood(round) {
			out.elevation, out.carried = &e, true
		}
		if more, known := r.job.thicker(round, from.round); known {
			f := e + out.set + more
			out.foreseen = &f
		}
		return out
	}
	return stand{}
}
