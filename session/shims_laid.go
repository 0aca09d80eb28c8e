package session

import (
	"slices"

	"rodcall/reduce"
)

// LaidSpot is what lies at one spot, of all rounds.
type LaidSpot struct {
	Station reduce.Station
	Amount  reduce.Length
	// Pieces are the shims that make it, largest first; nil where that was not
	// told.
	Pieces []reduce.Length
}

// add lays more at a spot, or takes some out.
func (l *LaidSpot) add(k ShimSet) {
	l.Amount += k.Amount
	switch {
	case l.Amount == 0:
		l.Pieces = nil
	case k.Amount < 0:
		l.Pieces = without(l.Pieces, -k.Amount)
	default:
		l.Pieces = append(slices.Clip(l.Pieces), k.Stack...)
		slices.SortFunc(l.Pieces, func(a, b reduce.Length) int { return int(b - a) })
	}
}

// without is a pile less pieces that make an amount, the largest first; the pile
// itself where they make none.
func without(pile []reduce.Length, amount reduce.Length) []reduce.Length {
	var rest []reduce.Length
	for _, p := range pile {
		if p <= amount {
			amount -= p
		} else {
			rest = append(rest, p)
		}
	}
	if amount != 0 {
		return pile
	}
	return rest
}

// told is l with its pieces, where they make what lies there.
func (l LaidSpot) told() LaidSpot {
	sum := reduce.Length(0)
	for _, p := range l.Pieces {
		sum += p
	}
	if sum != l.Amount {
		l.Pieces = nil
	}
	return l
}

// Laid lists what lies at every spot at which shims were set, in walking order;
// spots from which all were taken out again are left out. Nothing that is read
// or planned later takes from it.
func (j *Job) Laid() []LaidSpot {
	at := map[reduce.Station]*LaidSpot{}
	var order []reduce.Station
	for _, k := range j.Shimmed {
		for _, set := range k.Spots {
			s := j.resolve(set.Station)
			if at[s] == nil {
				at[s] = &LaidSpot{Station: s}
				order = append(order, s)
			}
			at[s].add(set)
		}
	}
	slices.SortFunc(order, j.design.Compare)
	var out []LaidSpot
	for _, s := range order {
		if at[s].Amount != 0 {
			out = append(out, at[s].told())
		}
	}
	return out
}

// Grinds says that something is too high which no shims lie under that could be
// taken out instead.
func (v View) Grinds() bool { return len(v.bare()) > 0 }

// bare are the stations that are too high with no shims under them that could be
// taken out instead.
func (v View) bare() []reduce.Station {
	var out []reduce.Station
	for _, s := range v.Stations {
		if s.Verdict == reduce.Lower && s.Deviation.RoundTo(v.Job.Finest) > v.Loose(s) {
			out = append(out, s.Station)
		}
	}
	return out
}

// laidAt is what lies at one spot.
func (j *Job) laidAt(s reduce.Station) LaidSpot {
	out := LaidSpot{Station: s}
	for _, k := range j.Shimmed {
		for _, set := range k.Spots {
			if j.resolve(set.Station) == s {
				out.add(set)
			}
		}
	}
	return out.told()
}

// SayLaid is what lies at a spot: its pieces, or how much where they were not
// told.
func (v View) SayLaid(lang string, amount reduce.Length, pieces []reduce.Length) string {
	if len(pieces) > 0 {
		return v.SayStack(lang, pieces)
	}
	return SayAmount(lang, v.Job, amount)
}
