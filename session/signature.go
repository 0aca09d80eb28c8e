package session

import (
	"cmp"
	"reflect"
	"slices"
	"time"
)

// Signature is a job's sign-off: what was signed, by whom and when.
type Signature struct {
	Signed
	By  PersonID
	At  time.Time // UTC
	Seq uint64    // of its event
	// Reopened is the event that changed what was signed; its Seq is 0 while
	// the signature stands.
	Reopened Reopening
}

// Reopening is what re-opened a job that was signed off.
type Reopening struct {
	By  PersonID
	At  time.Time // UTC
	Seq uint64
}

// Stands says whether nothing has changed what was signed.
func (s Signature) Stands() bool { return s.Reopened.Seq == 0 }

// Signatures are all of a job, oldest first; only the last may stand. One that
// was taken back by undo while it stood is none.
func (s *Settings) Signatures() []Signature {
	out := slices.Clone(s.Superseded)
	if s.Signed != nil {
		out = append(out, *s.Signed)
	}
	return out
}

// changes says whether an event that has been applied changed what a signature
// is about: a reading always does; a setting where it is no longer what it was
// before, and heights, verdicts or what the rod stands on hang on it.
func (j *Job) changes(b Body, before Settings) bool {
	switch b.(type) {
	case Read, Voided:
		return true
	}
	return !reflect.DeepEqual(before.measured(j.Settings), j.measured(before))
}

// measured is the settings without those that no height, verdict or round
// hangs on; what is not left out here counts. Rods and set-ups that only one of
// the two settings has do not: nothing is read with a new one yet.
func (s Settings) measured(other Settings) Settings {
	s.Signed, s.Superseded = nil, nil
	s.UnitsSet, s.ToleranceSet, s.RoundEnded, s.NoBeam = false, false, false, nil
	s.LaserCheck, s.CheckEvery, s.CheckSet = nil, CheckEverySet{}, false
	s.Places, s.Stock, s.StockFrom = nil, nil, 0
	s.Notes, s.Count, s.Lang = nil, 0, ""

	plan := s.Plan
	s.Plan = nil
	for _, k := range plan {
		if weighty[k.What] {
			s.Plan = append(s.Plan, k)
		}
	}
	slices.SortFunc(s.Plan, func(a, b PlanSet) int { return cmp.Compare(a.What, b.What) })
	setups, rods := s.Setups, s.Rods
	s.Setups, s.Rods = nil, nil
	for _, k := range setups {
		if slices.ContainsFunc(other.Setups, func(o Setup) bool { return o.ID == k.ID }) {
			s.Setups = append(s.Setups, k)
		}
	}
	for _, k := range rods {
		if _, too := other.rod(k.ID); too {
			k.By, k.Tested = 0, false
			s.Rods = append(s.Rods, k)
		}
	}
	return s
}

// weighty are the figures of the plan that a height, a verdict or the level to
// build to hangs on; the others only say how to get there.
var weighty = map[PlanFigure]bool{
	FigurePlate: true, FigureStepTolerance: true, FigureGrindCost: true, FigureGrindMost: true, FigureShimMost: true,
}

// supersede keeps a signature whose ground an event has changed. It can no
// longer be undone: it stood for a time.
func (j *Job) supersede(e Event) {
	old := *j.Signed
	old.Reopened = Reopening{e.By, e.At, e.Seq}
	j.Signed, j.Superseded = nil, append(slices.Clip(j.Superseded), old)
	j.steps, j.shared = slices.DeleteFunc(slices.Clone(j.steps), func(s *step) bool {
		return len(s.sets) == 1 && s.sets[0].kind == ofSigning
	}), false
}
