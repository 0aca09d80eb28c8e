package session

import "rodcall/reduce"

// tally counts what the datum asks for.
type tally struct {
	on, raise, lower, unsure int
	// The biggest raise and the biggest lower, nil for none.
	up, down *StationView
	// The close call that is farthest off, nil for none.
	close *StationView
	// The station whose band is widest, nil where no band is known.
	loose *StationView
}

// tally counts the verdicts of the stations that have a move.
func (v View) tally() (t tally) {
	for i := range v.Stations {
		s := &v.Stations[i]
		if s.Move == nil {
			continue
		}
		if s.Band != nil && (t.loose == nil || *s.Band > *t.loose.Band) {
			t.loose = s
		}
		switch s.Verdict {
		case reduce.On:
			t.on++
		case reduce.Raise:
			t.raise++
			if t.up == nil || *s.Move > *t.up.Move {
				t.up = s
			}
		case reduce.Lower:
			t.lower++
			if t.down == nil || *s.Move < *t.down.Move {
				t.down = s
			}
		case reduce.Unsure:
			t.unsure++
			if t.close == nil || s.Move.Abs() > t.close.Move.Abs() {
				t.close = s
			}
		case reduce.Unread:
		}
	}
	return t
}
