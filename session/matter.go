package session

import (
	"slices"

	"rodcall/reduce"
)

// matter is one thing that an event sets: what an undo puts back, and what
// stands in its way where a later event set the same thing.
type matter struct {
	kind    matterKind
	id      int            // of a rod, a set-up, a round or the event of shims
	station reduce.Station // without beam, or of known height
	name    string         // of a figure of the plan, or of places
}

type matterKind string

// The kinds of matter. Each has its name in the catalogue.
const (
	ofOutline   matterKind = "outline"
	ofUnits     matterKind = "units"
	ofReference matterKind = "reference"
	ofDatum     matterKind = "datum"
	ofTolerance matterKind = "tolerance"
	ofSurface   matterKind = "surface"
	ofBolts     matterKind = "bolts"
	ofNoBeam    matterKind = "nobeam"
	ofRound     matterKind = "round"
	ofSetup     matterKind = "setup"
	ofRod       matterKind = "rod"
	ofKnown     matterKind = "known"
	ofWeights   matterKind = "weights"
	ofLaser     matterKind = "laser"
	ofBudget    matterKind = "budget"
	ofCheck     matterKind = "laser-check"
	ofSplit     matterKind = "split" // id: of the set-up behind the bump
	ofChecks    matterKind = "checks"
	ofDesign    matterKind = "design"
	ofFigure    matterKind = "figure" // name
	ofPlaces    matterKind = "places" // name
	ofStock     matterKind = "stock"
	ofShims     matterKind = "shims"
	ofOpening   matterKind = "opening" // id: of the round
	ofSigning   matterKind = "signing"
	ofNote      matterKind = "note" // id: of its event
	ofCount     matterKind = "count"
	ofLanguage  matterKind = "language"
)

// matters says what an event sets, and what it hangs on, met with these
// settings.
func (s *Settings) matters(b Body) (sets, leans []matter) {
	one := func(kind matterKind) []matter { return []matter{{kind: kind}} }
	switch b := b.(type) {
	case OutlineSet:
		return one(ofOutline), nil
	case UnitsSet:
		if b.Grid != s.Outline.Grid {
			return append(one(ofUnits), matter{kind: ofOutline}), nil
		}
		return one(ofUnits), nil
	case SetupOpened:
		return []matter{{kind: ofSetup, id: b.Setup}}, nil
	case RodTaken:
		return []matter{{kind: ofRod, id: b.Rod}}, []matter{{kind: ofSetup, id: b.Setup}}
	case RodTested:
		return []matter{{kind: ofRod, id: b.Rod}}, nil
	case RodFlipped:
		return []matter{{kind: ofRod, id: b.Rod}}, nil
	case ReferenceSet:
		return one(ofReference), nil
	case NoBeam:
		setup := 0
		if n := len(s.Setups); n > 0 {
			setup = s.Setups[n-1].ID
		}
		return []matter{{kind: ofNoBeam, station: b.Station}}, []matter{{kind: ofSetup, id: setup}}
	case RoundEnded:
		return one(ofRound), nil
	case DatumSet:
		return one(ofDatum), nil
	case ToleranceSet:
		return one(ofTolerance), nil
	case SurfaceSet:
		return one(ofSurface), nil
	case BoltsSet:
		return one(ofBolts), nil
	case KnownSet:
		return []matter{{kind: ofKnown, station: b.Station}}, nil
	case WeightsSet:
		return one(ofWeights), nil
	case LaserPlaced:
		return []matter{{kind: ofLaser, id: b.Setup}}, []matter{{kind: ofSetup, id: b.Setup}}
	case BudgetSet:
		return one(ofBudget), nil
	case LaserChecked:
		return one(ofCheck), nil
	case SetupSplit:
		sets = []matter{{kind: ofSplit, id: b.New}, {kind: ofSetup, id: b.New}}
		leans = []matter{{kind: ofSetup, id: b.Setup}}
		for _, r := range b.Rods {
			sets = append(sets, matter{kind: ofRod, id: r.To})
			leans = append(leans, matter{kind: ofRod, id: r.From})
		}
		return sets, leans
	case CheckEverySet:
		return one(ofChecks), nil
	case DesignSet:
		return one(ofDesign), nil
	case PlanSet:
		return []matter{{kind: ofFigure, name: string(b.What)}}, nil
	case PlacesSet:
		return []matter{{kind: ofPlaces, name: b.What}}, nil
	case StockSet:
		return one(ofStock), nil
	case Shimmed:
		return one(ofShims), append(s.shimsAt(b.Spots), matter{kind: ofOpening, id: b.Round})
	case RoundOpened:
		return []matter{{kind: ofOpening, id: b.Round}}, []matter{{kind: ofRound}, {kind: ofShims}, {kind: ofSurface}, {kind: ofBolts}}
	case Signed:
		return one(ofSigning), nil
	case Noted:
		return one(ofNote), nil
	case CountSet:
		return one(ofCount), one(ofUnits)
	case LanguageSet:
		return one(ofLanguage), nil
	case Opened, Read, Voided, Restored, Firmed:
	}
	return nil, nil
}

// putBack makes one thing what it was in before; all else stays.
func (s *Settings) putBack(m matter, before Settings) {
	switch m.kind {
	case ofOutline:
		s.Outline = before.Outline
	case ofUnits:
		s.Unit, s.Finest, s.UnitsSet = before.Unit, before.Finest, before.UnitsSet
	case ofReference:
		s.Reference = before.Reference
	case ofDatum:
		s.Datum, s.DatumRound = before.Datum, before.DatumRound
	case ofTolerance:
		s.Tolerance, s.ToleranceSet = before.Tolerance, before.ToleranceSet
	case ofSurface:
		s.Surface = before.Surface
	case ofBolts:
		s.BoltsTight = before.BoltsTight
	case ofCheck:
		s.LaserCheck = before.LaserCheck
	case ofNoBeam:
		if !slices.Contains(before.NoBeam, m.station) {
			s.NoBeam = slices.DeleteFunc(slices.Clone(s.NoBeam), func(k reduce.Station) bool { return k == m.station })
		}
	case ofRound:
		s.RoundEnded = before.RoundEnded
	case ofSplit:
		s.Splits = slices.DeleteFunc(slices.Clone(s.Splits), func(k Split) bool { return k.New == m.id })
	case ofChecks:
		s.CheckEvery, s.CheckSet = before.CheckEvery, before.CheckSet
	case ofSetup:
		s.Setups = slices.DeleteFunc(slices.Clone(s.Setups), func(k Setup) bool { return k.ID == m.id })
		s.NoBeam = before.NoBeam
	case ofKnown:
		s.Known = slices.DeleteFunc(slices.Clone(s.Known), func(k KnownSet) bool { return k.Station == m.station })
		if k, had := before.known(m.station); had {
			s.Known = append(s.Known, k)
		}
	case ofWeights:
		s.Alike = before.Alike
	case ofLaser:
		s.placeLaser(m.id, before.laser(m.id))
	case ofBudget:
		s.Budget = before.Budget
	case ofDesign:
		s.Design = before.Design
	case ofFigure:
		s.Plan = slices.DeleteFunc(slices.Clone(s.Plan), func(k PlanSet) bool { return string(k.What) == m.name })
		if k, had := before.figure(PlanFigure(m.name)); had {
			s.Plan = append(s.Plan, k)
		}
	case ofPlaces:
		s.Places = slices.DeleteFunc(slices.Clone(s.Places), func(k PlacesSet) bool { return k.What == m.name })
		if k, had := before.places(m.name); had {
			s.Places = append(s.Places, k)
		}
	case ofStock:
		s.Stock, s.StockFrom = before.Stock, before.StockFrom
	case ofShims:
		s.Shimmed = slices.DeleteFunc(slices.Clone(s.Shimmed), func(k ShimsSet) bool { return k.Seq == uint64(m.id) }) //nolint:gosec // written from a Seq
	case ofOpening:
		s.Round, s.RoundEnded, s.Surface, s.BoltsTight, s.Past = before.Round, before.RoundEnded, before.Surface, before.BoltsTight, before.Past
		s.Walk, s.Hang = before.Walk, before.Hang
	case ofSigning:
		s.Signed = before.Signed
	case ofNote:
		s.Notes = slices.DeleteFunc(slices.Clone(s.Notes), func(k Note) bool { return k.Seq == uint64(m.id) }) //nolint:gosec // written from a Seq
	case ofCount:
		s.Count = before.Count
	case ofLanguage:
		s.Lang = before.Lang
	case ofRod:
		was, had := before.rod(m.id)
		s.Rods = slices.Clone(s.Rods)
		i := slices.IndexFunc(s.Rods, func(r Rod) bool { return r.ID == m.id })
		switch {
		case i >= 0 && had:
			s.Rods[i] = was
		case i >= 0:
			s.Rods = slices.Delete(s.Rods, i, i+1)
		}
	}
}

// bringBack puts one thing among others again that an edit had taken out and that
// was there before; putBack does the rest.
func (s *Settings) bringBack(m matter, before Settings) {
	switch m.kind {
	case ofNoBeam:
		if slices.Contains(before.NoBeam, m.station) && !slices.Contains(s.NoBeam, m.station) {
			s.NoBeam = append(slices.Clip(s.NoBeam), m.station)
		}
	case ofSetup:
		s.Setups = withAgain(s.Setups, before.Setups, func(k Setup) int { return k.ID }, m.id)
	case ofRod:
		s.Rods = withAgain(s.Rods, before.Rods, func(k Rod) int { return k.ID }, m.id)
	case ofShims:
		s.Shimmed = withAgain(s.Shimmed, before.Shimmed, func(k ShimsSet) int { return shimsOf(k.Seq).id }, m.id)
	case ofNote:
		s.Notes = withAgain(s.Notes, before.Notes, func(k Note) int { return noteOf(k.Seq).id }, m.id)
	case ofOutline, ofUnits, ofReference, ofDatum, ofTolerance, ofSurface, ofBolts, ofRound, ofKnown, ofWeights, ofLaser, ofBudget, ofCheck,
		ofSplit, ofChecks, ofDesign, ofFigure, ofPlaces, ofStock, ofOpening, ofSigning, ofCount, ofLanguage:
	}
}

// withAgain is a list with the one of had whose number is id, in the order of their
// numbers, where it lacks that.
func withAgain[T any](list, had []T, number func(T) int, id int) []T {
	is := func(k T) bool { return number(k) == id }
	i := slices.IndexFunc(had, is)
	if i < 0 || slices.ContainsFunc(list, is) {
		return list
	}
	at := slices.IndexFunc(list, func(k T) bool { return number(k) > id })
	if at < 0 {
		at = len(list)
	}
	return slices.Insert(slices.Clone(list), at, had[i])
}

// rod is a rod by its number.
func (s *Settings) rod(id int) (Rod, bool) {
	if i := slices.IndexFunc(s.Rods, func(r Rod) bool { return r.ID == id }); i >= 0 {
		return s.Rods[i], true
	}
	return Rod{}, false
}

// shimsAt are the shims that lie at some spots, of those that undo reaches:
// what is set there later hangs on them.
func (s *Settings) shimsAt(spots []ShimSet) []matter {
	at := map[reduce.Station]bool{}
	for _, k := range spots {
		at[k.Station] = true
	}
	var out []matter
	for _, k := range s.Shimmed[max(0, len(s.Shimmed)-2*maxSteps):] {
		if slices.ContainsFunc(k.Spots, func(k ShimSet) bool { return at[k.Station] }) {
			out = append(out, shimsOf(k.Seq))
		}
	}
	return out
}

// shimsOf are the shims of one event.
func shimsOf(seq uint64) matter {
	return matter{kind: ofShims, id: int(seq)} //nolint:gosec // events are numbered from 1
}

// noteOf is the note of one event.
func noteOf(seq uint64) matter {
	return matter{kind: ofNote, id: int(seq)} //nolint:gosec // events are numbered from 1
}

// hinders is the first thing that an older step set and this one sets again or
// hangs on: the older one cannot be undone past it.
func (s *step) hinders(older *step) (matter, bool) {
	for _, m := range older.sets {
		if slices.Contains(s.sets, m) || slices.Contains(s.leans, m) {
			return m, true
		}
		// A round hangs on all shims that were set before it.
		if m.kind == ofShims && slices.Contains(s.leans, matter{kind: ofShims}) {
			return m, true
		}
	}
	return matter{}, false
}
