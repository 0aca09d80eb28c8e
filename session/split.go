package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// Split is a bump that was found: the set-up is two from there on.
type Split struct {
	SetupSplit
	Seq uint64 // its own event: what is read later names its rod itself
}

// split divides the newest set-up at a bump. Every reading is kept; those since
// the bump are filed under the new rods.
func (j *Job) split(e Event, b SetupSplit) {
	next := Setup{ID: b.New, Opened: e.At, Bumped: true}
	if i := slices.IndexFunc(j.Setups, func(k Setup) bool { return k.ID == b.Setup }); i >= 0 {
		next.Laser = j.Setups[i].Laser
	}
	j.Setups = append(slices.Clip(j.Setups), next)
	j.Rods = slices.Clone(j.Rods)
	for _, k := range b.Rods {
		if r, ok := j.rod(k.From); ok {
			r.ID, r.Setup = k.To, b.New
			j.Rods = append(j.Rods, r)
		}
	}
	j.Splits = append(slices.Clip(j.Splits), Split{b, e.Seq})
	j.place()
}

// rodThen is the rod that a reading of event seq belongs to, which was taken at
// event took with the rod that it names.
func (j *Job) rodThen(rod int, seq, took uint64) int {
	for _, s := range j.Splits {
		if took <= s.After || seq >= s.Seq {
			continue
		}
		if i := slices.IndexFunc(s.Rods, func(r RodSplit) bool { return r.From == rod }); i >= 0 {
			rod = s.Rods[i].To
		}
	}
	return rod
}

// doubted says that a reading was taken at an unknown side of a bump.
func (j *Job) doubted(seq uint64) bool {
	return slices.ContainsFunc(j.Splits, func(s Split) bool { return slices.Contains(s.Doubt, seq) })
}

// splits says whether a step split a set-up.
func (s *step) splits() bool {
	return slices.ContainsFunc(s.sets, func(m matter) bool { return m.kind == ofSplit })
}

// shot is a reading with the event at which it was taken.
type shot struct {
	Reading
	took uint64
}

func (s shot) observation() reduce.Observation {
	return reduce.Observation{Rod: s.Rod, Station: s.Station, Value: s.Value}
}

// shotsIn lists what counts of a set-up in this round, in the order in which
// it was taken. It costs as many steps as readings count, not as there are
// events.
func (j *Job) shotsIn(setup int) []shot {
	var out []shot
	for k := range j.slots {
		if k.round != j.Round || j.empty[k] {
			continue
		}
		if rod, ok := j.rod(k.rod); !ok || rod.Setup != setup {
			continue
		}
		for _, r := range j.counting(k) {
			if !r.doubt {
				out = append(out, shot{r, j.hist.took(r)})
			}
		}
	}
	slices.SortFunc(out, func(a, b shot) int {
		return cmp.Or(cmp.Compare(a.took, b.took), cmp.Compare(a.Seq, b.Seq))
	})
	return out
}
