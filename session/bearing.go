package session

import "rodcall/reduce"

// PlacesSet.What.
const (
	placesBolts   = "bolts"
	placesPosts   = "posts"
	placesSplices = "splices"
)

// PlateOptions are what the plate is planned by: ours, but for what the crew
// set. The plate bears on every station of the walk too.
func (j *Job) PlateOptions() reduce.PlateOptions {
	opt := reduce.PlateDefaults(j.Unit)
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
		opt.Bolts = reduce.BoltsEvery(j.Outline, bolts.Every, splices.At)
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
	spots := make([]reduce.PlateSpot, 0, len(v.Stations))
	for _, s := range v.Stations {
		spot := reduce.PlateSpot{Station: s.Station, Read: s.Deviation != nil}
		if spot.Read {
			spot.Deviation = *s.Deviation
		}
		spots = append(spots, spot)
	}
	return reduce.PlanPlate(v.Job.Outline, spots, nil, v.Job.PlateOptions()), true
}
