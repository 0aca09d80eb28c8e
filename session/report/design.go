package report

import (
	"slices"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// designOf lists the job's steps and falls. One of a whole loop runs from its
// first corner to that again.
func designOf(j *session.Job) []designDoc {
	var out []designDoc
	for _, b := range j.Design {
		d := designDoc{From: j.StationName(b.From), To: j.StationName(b.To), Rise: b.Rise, Loop: b.Loop}
		if b.Loop { // back round to its first corner
			d.To = d.From
		}
		if b.Fall {
			d.Run = &b.Run
		}
		out = append(out, d)
	}
	return out
}

// stepsOf lists the steps and how they came out.
func stepsOf(v session.View) []stepDoc {
	var out []stepDoc
	for _, s := range v.Steps {
		d := stepDoc{Station: v.Job.StationName(s.At), Rise: s.Rise, Off: s.Off, Between: []string{}}
		if s.Off != nil {
			d.Between = []string{v.Job.StationName(s.A), v.Job.StationName(s.B)}
			d.Verdict = &s.Verdict
		}
		out = append(out, d)
	}
	return out
}

// steps are the words of the steps, by spot: "step 8 in".
func (d *drawing) steps() map[reduce.Station]string {
	out := map[reduce.Station]string{}
	for _, s := range d.v.Steps {
		if size := s.Rise.Abs(); !d.v.SameLevel(size) {
			out[s.At] = d.say("paper.step", d.v.SayMeasure(d.lang, size))
		}
	}
	return out
}

// hollow are the stretches of walls whose design is not that of the reference's
// section.
func (d *drawing) hollow() [][]reduce.Point {
	if len(d.job.Design) == 0 {
		return nil
	}
	o := d.job.Outline
	cuts := map[int][]reduce.Length{} // of each wall, between its corners
	for _, p := range d.v.Design().Parts() {
		for _, s := range []reduce.Station{p.From, p.To} {
			if s.Kind == reduce.Wall && s.Past > 0 {
				cuts[s.Number] = append(cuts[s.Number], s.Past)
			}
		}
	}
	var out [][]reduce.Point
	for n := 1; n <= o.Corners(); n++ {
		wall, _ := o.WallLength(n)
		ends := append(cuts[n], 0, wall)
		slices.Sort(ends)
		for i := range ends[1:] {
			from, to := ends[i], ends[i+1]
			if from == to || d.v.Design().At(reduce.Along(n, from+(to-from)/2)) == 0 {
				continue
			}
			a, _, _ := o.Position(reduce.Along(n, from))
			b, _, _ := o.Position(reduce.Along(n, to))
			out = append(out, []reduce.Point{a, b})
		}
	}
	return out
}

// asides moves a spot's two heights apart along its walls, each to its own side
// of the step, where both are drawn.
func (d *drawing) asides() map[reduce.Station]reduce.Point {
	out := map[reduce.Station]reduce.Point{}
	o := d.job.Outline
	stations := d.v.Stations
	for i := range stations {
		s := stations[i].Station
		if i == 0 || s.Kind != reduce.Wall || stations[i-1].Station.At(0) != s.At(0) {
			continue
		}
		// Behind the spot along its own wall; before it along that or the last.
		wall, ok := o.WallLength(s.Number)
		if !ok {
			continue
		}
		away := min(o.Grid.Spacing/4, (wall-s.Past)/3)
		if p, _, ok := o.Position(reduce.Along(s.Number, s.Past+away)); ok {
			out[s] = p
		}
		before := reduce.Along(s.Number, s.Past-min(away, s.Past/3))
		if s.Past == 0 {
			last := o.Before(s.Number)
			wall, _ := o.WallLength(last)
			before = reduce.Along(last, wall-min(away, wall/3))
		}
		if p, _, ok := o.Position(before); ok {
			out[stations[i-1].Station] = p
		}
	}
	return out
}

// runSteps are the steps of a wall in the strip.
func (d *drawing) runSteps(n int, start reduce.Length, words map[reduce.Station]string) []render.RunStep {
	var out []render.RunStep
	for _, s := range d.v.Steps {
		if s.At.Number == n && words[s.At] != "" {
			out = append(out, render.RunStep{At: start + s.At.Past, Text: words[s.At]})
		}
	}
	return out
}

// designLine says what is designed at other levels; "" where nothing is.
func (d *drawing) designLine() string {
	if len(d.job.Design) == 0 {
		return ""
	}
	return d.say("paper.design", d.v.SayDesigns(d.lang))
}
