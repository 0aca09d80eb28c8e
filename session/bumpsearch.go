package session

import (
	"slices"

	"rodcall/reduce"
)

// bumpSearch is the search for the moment of a bump, as the log gives it.
type bumpSearch struct {
	reduce.Halving
	rod      Rod
	trigger  shot          // the check shot that disagreed
	readings []shot        // those that the search was given, the one that trigger repeats first
	noise    reduce.Length // standard deviation of one reading
	shots    []shot        // re-shots: checks by the same rod since trigger
}

// bumpSearch puts together the search that the check shot of an event began; ok
// is false where there is none: it was taken back, or its rod had not read that
// station before.
func (j *Job) bumpSearch(seq uint64) (s bumpSearch, ok bool) {
	r, ok := j.hist.at(seq)
	if !ok || r.void || r.doubt || !r.Check {
		return s, false
	}
	if s.rod, ok = j.rod(r.Rod); !ok || s.rod.Setup != j.setup() || r.Round != j.Round {
		return s, false
	}
	all := j.shotsIn(s.rod.Setup)
	at := slices.IndexFunc(all, func(k shot) bool { return k.Seq == seq })
	if at < 0 {
		return s, false
	}
	s.trigger = all[at]
	from := at - 1
	for from >= 0 && (all[from].Rod != r.Rod || all[from].Station != r.Station) {
		from--
	}
	if from < 0 {
		return s, false
	}
	s.readings = all[from:at]
	rods := []reduce.Rod{s.rod.Rod}
	var obs []reduce.Observation
	for _, k := range s.readings {
		obs = append(obs, k.observation())
		if other, ok := j.rod(k.Rod); ok && !slices.ContainsFunc(rods, func(r reduce.Rod) bool { return r.ID == other.ID }) {
			rods = append(rods, other.Rod)
		}
	}
	s.noise = reduce.Length(j.ErrorBudget().Noise(s.rod.Kind, r.Value))
	h, err := reduce.NewHalving(rods, obs, []reduce.Observation{s.trigger.observation()}, s.noise)
	if err != nil {
		return s, false
	}
	s.Halving = h
	for _, k := range all[at+1:] {
		if k.Rod == r.Rod && k.Check && !k.Provisional() {
			s.shots = append(s.shots, k)
			s.Halving = s.Take(k.observation())
		}
	}
	return s, true
}

// disagrees says that the check shot differs by more than readings do.
func (s bumpSearch) disagrees() bool { return s.Finding().Why != reduce.TooSmall }

// apparent is by how much a spot seems to have risen.
func (s bumpSearch) apparent(old, now reduce.Length) reduce.Length {
	if s.rod.Rises() {
		return now - old
	}
	return old - now
}

// rise is by how much a re-shot's spot seems to have risen since its first
// reading in the search; ok is false where there is none up to place last.
func (s bumpSearch) rise(k shot, last int) (reduce.Length, bool) {
	for _, r := range s.readings[:min(last+1, len(s.readings))] {
		if r.Rod == k.Rod && r.Station == k.Station {
			return s.apparent(r.Value, k.Value), true
		}
	}
	return 0, false
}
