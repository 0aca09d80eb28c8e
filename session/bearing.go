package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// PlacesSet.What.
const (
	placesBolts   = "bolts"
	placesPosts   = "posts"
	placesSplices = "splices"
)

// plateDefaults are what the plate is planned by where nobody said otherwise.
// Once shims are set they stay those of the unit that the job counted in then:
// else another unit would move every bearing point away from what lies there.
func (j *Job) plateDefaults() reduce.PlateOptions {
	opt := reduce.PlateDefaults(j.Unit)
	if len(j.Shimmed) > 0 {
		then := reduce.PlateDefaults(j.Shimmed[0].Unit)
		opt.Spacing, opt.Beside, opt.Merge, opt.Bend = then.Spacing, then.Beside, then.Merge, then.Bend
	}
	return opt
}

// PlateOptions are what the plate is planned by: ours, but for what the crew
// set. The plate bears on every station of the walk too.
func (j *Job) PlateOptions() reduce.PlateOptions {
	opt := j.plateDefaults()
	opt.Tolerance, opt.Spots = j.Tolerance, true
	if f, ok := j.figure(FigureGrindMost); ok {
		opt.Grind = f.Length
	}
	if f, ok := j.figure(FigureShimMost); ok {
		opt.Gap = f.Length
	}
	if f, ok := j.figure(FigureBend); ok {
		opt.Bend = reduce.BendRate{Rise: f.Length, Span: f.Run}
	}
	if f, ok := j.figure(FigureBearing); ok {
		opt.Spacing = f.Length
	}
	bolts, _ := j.places(placesBolts)
	posts, _ := j.places(placesPosts)
	splices, _ := j.places(placesSplices)
	opt.Bolts, opt.Posts, opt.Splices = bolts.At, posts.At, splices.At
	if bolts.Every > 0 {
		ends := slices.Clone(splices.At)
		for _, s := range j.design.Steps() {
			ends = append(ends, s.At)
		}
		opt.Bolts = reduce.BoltsEvery(j.Outline, bolts.Every, ends)
	}
	return opt
}

// PlatePlan is the plate of the foundation as it stands now, and what lies
// between it and what the rod stood on. ok is false while there is no level to
// build to.
func (v View) PlatePlan() (plan reduce.PlatePlan, ok bool) {
	if v.Level == nil {
		return reduce.PlatePlan{}, false
	}
	j := v.Job
	return reduce.PlanPlate(j.Outline, v.plateSpots(), j.design.Stepped, j.PlateOptions()), true
}

// Loose is how much of what held a station up when it was read is shims.
func (v View) Loose(s StationView) reduce.Length {
	r := v.adjusted.record
	at, read := r.read(s.Station, s.Round)
	if !read {
		return 0
	}
	by, _ := r.setBetween(s.Station, moment{}, at)
	if v.Job.stood(s.Round) == "" {
		return max(0, by)
	}
	// A plate is held up by what lies beside a spot too.
	reach := v.Job.plateDefaults().Spacing
	if f, ok := v.Job.figure(FigureBearing); ok {
		reach = f.Length
	}
	wall := r.walls[s.Station.Number]
	i, _ := slices.BinarySearchFunc(wall, s.Station.Past-reach, func(k reduce.Station, past reduce.Length) int { return cmp.Compare(k.Past, past) })
	for ; s.Station.Kind == reduce.Wall && i < len(wall) && wall[i].Past <= s.Station.Past+reach; i++ {
		beside, _ := r.setBetween(wall[i], moment{}, at)
		by = max(by, beside)
	}
	return max(0, by)
}

// plateSpots are the stations of a view as the plate is planned on them: what was
// heard and nobody confirmed is as good as not read. At a
// step both heights are spots, the one at which the walk arrives first, whether
// the rod was read there or not: a plate ends on each.
func (v View) plateSpots() []reduce.PlateSpot {
	steps := map[reduce.Station]reduce.DesignStep{}
	for _, s := range v.Job.design.Steps() {
		if s.Before != s.After {
			steps[s.At] = s
		}
	}
	spots := make([]reduce.PlateSpot, 0, len(v.Stations)+len(steps))
	has := func(at reduce.Station, design reduce.Length) bool {
		for i := len(spots) - 1; i >= 0 && spots[i].Station.At(0) == at; i-- {
			if v.Job.design.At(spots[i].Station) == design {
				return true
			}
		}
		return false
	}
	open := v.heardAt()
	for i, s := range v.Stations {
		at := s.Station.At(0)
		step, stepped := steps[at]
		before, after := reduce.Top, reduce.Bottom
		if step.Before < step.After {
			before, after = after, before
		}
		if stepped && s.Design != step.Before && !has(at, step.Before) {
			spots = append(spots, reduce.PlateSpot{Station: at.At(before)})
		}
		spot := reduce.PlateSpot{Station: s.Station, Read: s.Deviation != nil && !slices.Contains(open, s.Station)}
		if spot.Read {
			spot.Deviation, spot.Loose = *s.Deviation, v.Loose(s)
		}
		spots = append(spots, spot)
		if last := i+1 == len(v.Stations) || v.Stations[i+1].Station.At(0) != at; stepped && last && !has(at, step.After) {
			spots = append(spots, reduce.PlateSpot{Station: at.At(after)})
		}
	}
	return spots
}
