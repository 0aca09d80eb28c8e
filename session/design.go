package session

import (
	"slices"

	"rodcall/reduce"
)

// setDesign takes a step or a fall in place of what was said of the same ends,
// or takes back one or all of a kind.
func (j *Job) setDesign(b DesignSet) {
	j.Design = slices.DeleteFunc(slices.Clone(j.Design), func(k DesignSet) bool {
		return k.Fall == b.Fall && (b.Clear && b.From.IsZero() || b.sameEnds(k))
	})
	if !b.Clear {
		j.Design = append(j.Design, b)
	}
}

// sameEnds says whether two parts speak of the same ends: of a fall either may
// be the high one.
func (b DesignSet) sameEnds(k DesignSet) bool {
	return b.From == k.From && b.To == k.To && b.Loop == k.Loop || b.Fall && b.From == k.To && b.To == k.From
}

// part is a step or a fall on the outline that is now in force.
func (j *Job) part(b DesignSet) reduce.DesignPart {
	return reduce.DesignPart{From: j.resolve(b.From), To: j.resolve(b.To), Loop: b.Loop, Rise: b.Rise, Run: b.Run}
}

// designOf puts the job's steps and falls together; nil where there are none.
func (j *Job) designOf() *reduce.Design {
	if len(j.Design) == 0 {
		return nil
	}
	parts := make([]reduce.DesignPart, 0, len(j.Design))
	for _, b := range j.Design {
		parts = append(parts, j.part(b))
	}
	return reduce.NewDesign(j.Outline, parts, j.resolve(j.Reference))
}

// redesign keeps the job's design in step with its settings, as they were before
// an event and are now.
func (j *Job) redesign(before Settings) {
	same := len(before.Design) == len(j.Design) && (len(j.Design) == 0 || &before.Design[0] == &j.Design[0])
	if !same || before.Outline != j.Outline || before.Reference != j.Reference {
		j.design = j.designOf()
	}
}

// lostDesign lists the steps and falls that the outline has no place for.
func (j *Job) lostDesign() []DesignSet {
	var out []DesignSet
	for _, b := range j.Design {
		if reduce.CheckDesign(j.Outline, j.part(b)) != nil {
			out = append(out, b)
		}
	}
	return out
}

// spotOf is the station of the walk that a reading of s does: of a half that is
// the spot's own height the spot itself, c5 of c5 bottom where c5 belongs to the
// lower section.
func (j *Job) spotOf(s reduce.Station) reduce.Station {
	if s.Half != 0 && j.design.Own(s.At(0)) == s.Half {
		return s.At(0)
	}
	return s
}

// otherHalves lists the halves of spots at steps that are read neither by their
// name nor, where they are the spot's own height, by the spot's. A further round
// asks by itself for what matters.
func (j *Job) otherHalves() []reduce.Station {
	if j.Round > 1 {
		return nil
	}
	done := j.doneNow()
	var out []reduce.Station
	for _, k := range j.design.Steps() {
		for _, s := range []reduce.Station{k.At.At(reduce.Top), k.At.At(reduce.Bottom)} {
			if !done[s] && j.spotOf(s) == s {
				out = append(out, s)
			}
		}
	}
	return out
}

// holderOf is the station whose reading tells the height of s: s, or its own
// half where only that is read.
func (j *Job) holderOf(s reduce.Station, known func(reduce.Station) bool) reduce.Station {
	if s.Half == 0 && !known(s) {
		if own := j.design.Own(s); own != 0 && known(s.At(own)) {
			return s.At(own)
		}
	}
	return s
}

// doneNow is readNow, and every spot whose own height was read as one of its
// halves. The map is not to be changed.
func (j *Job) doneNow() map[reduce.Station]bool {
	read := j.readNow()
	if j.design == nil {
		return read
	}
	m := j.memo
	if m != nil && m.done != nil && m.doneSeq == j.Seq {
		return m.done
	}
	done := make(map[reduce.Station]bool, len(read))
	for s := range read {
		done[s], done[j.spotOf(s)] = true, true
	}
	if m != nil {
		m.doneSeq, m.done = j.Seq, done
	}
	return done
}
