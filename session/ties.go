package session

import (
	"slices"

	"rodcall/reduce"
)

// readFrom lists the set-ups that each spot, by its key, was read from, by the readings that
// were adjusted.
func (v View) readFrom() map[reduce.Station][]int {
	setup := map[int]int{}
	for _, r := range v.Job.Rods {
		setup[r.ID] = r.Setup
	}
	from := map[reduce.Station][]int{}
	for _, r := range v.Adjusted {
		k := v.adjusted.record.key(r.Station, r.Round).key
		if s := setup[r.Rod]; !slices.Contains(from[k], s) {
			from[k] = append(from[k], s)
		}
	}
	return from
}

// Ties are the stations that join a set-up to the rest, in walking order: the
// reference, those of known height, and what was read from an earlier set-up.
func (v View) Ties(setup int) []reduce.Station {
	from := v.readFrom()
	var out []reduce.Station
	for _, s := range v.Stations {
		_, known := v.Job.knownAt(s.Station)
		for _, r := range s.Rounds {
			k := v.adjusted.record.key(s.Station, r.Round).key
			in := from[k]
			if first := k == v.adjusted.record.first(s.Station); slices.Contains(in, setup) && (first && (s.Name == v.Reference() || known) || slices.Min(in) < setup) {
				out = append(out, s.Station)
				break
			}
		}
	}
	return out
}

// knownAt is the height given to a station, however it was named.
func (j *Job) knownAt(at reduce.Station) (KnownSet, bool) {
	for _, k := range j.Known {
		if j.resolve(k.Station) == at {
			return k, true
		}
	}
	return KnownSet{}, false
}
