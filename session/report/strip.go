package report

import (
	"slices"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// runs unrolls the loops: each from its first corner round to it again.
func (d *drawing) runs() []render.Run {
	var out []render.Run
	words := d.steps()
	for _, l := range d.job.Outline.Loops {
		run := render.Run{Loop: session.SayLoop(d.lang, l.Name)}
		gap := false
		var last reduce.Station
		for i := range l.Corners {
			n := l.First + i
			start := run.Length
			run.Steps = append(run.Steps, d.runSteps(n, start, words)...)
			run.Corners = append(run.Corners, render.RunCorner{Name: d.job.StationName(reduce.Corner(n)), At: start})
			for _, s := range d.v.Stations {
				if !s.Placed || s.Station.Kind != reduce.Wall || s.Station.Number != n {
					continue
				}
				d.before(&run, s, start+s.Station.Past)
				h, known := d.height(s)
				if known {
					broken := gap || !last.IsZero() && d.v.Design().Stepped(last, s.Station)
					run.Points = append(run.Points, render.RunPoint{At: start + s.Station.Past, Height: h, Status: d.status(s), Gap: broken})
					last = s.Station
				}
				gap = !known
			}
			wall, _ := d.job.Outline.WallLength(n)
			run.Length += wall
		}
		run.Corners = append(run.Corners, render.RunCorner{Name: d.job.StationName(reduce.Corner(l.First)), At: run.Length})
		out = append(out, run)
	}
	return out
}

// before adds how a station stood in the first round, where this is a further
// one: what was read of it then.
func (d *drawing) before(run *render.Run, s session.StationView, at reduce.Length) {
	if d.job.Round == 1 || len(s.Rounds) == 0 {
		return
	}
	first := s.Rounds[0]
	if first.Round != 1 || first.Elevation == nil {
		return
	}
	if h, ok := d.v.ToShow(s, first.Round, *first.Elevation); ok {
		run.Before = append(run.Before, render.RunPoint{At: at, Height: h})
	}
}

// walks says which two walks a strip shows.
func (d *drawing) walks(out *render.Strip) {
	if !slices.ContainsFunc(out.Runs, func(r render.Run) bool { return len(r.Before) > 0 }) {
		return
	}
	say := func(r session.PastRound) string {
		return d.say("paper.round", r.Round, d.v.SayStanding(d.lang, r.Surface, r.Tight))
	}
	rounds := d.job.Rounds()
	out.Before, out.Now = say(rounds[0]), say(rounds[len(rounds)-1])
}

// A free walk has no plan: its stations stand in rows of so many, so far
// apart, as a page is read.
const (
	freeRow   = 8
	freePitch = 4 * reduce.Foot
)

// free lays out a walk without an outline: what was read, in walking order,
// in rows, and as one open run.
func (d *drawing) free() ([]render.Mark, render.Strip) {
	var marks []render.Mark
	var run render.Run
	gap := false
	for _, s := range d.v.Stations {
		if !onSill(s.Station) {
			continue
		}
		n := reduce.Length(len(marks))
		m := d.mark(s, reduce.Point{X: n % freeRow * freePitch, Y: -(n / freeRow) * freePitch})
		m.Corner = true // no walls tell which is which: each is named
		marks = append(marks, m)
		at := n * freePitch
		if s.Station.IsCorner() || n == 0 {
			run.Corners = append(run.Corners, render.RunCorner{Name: m.Name, At: at})
		}
		d.before(&run, s, at)
		h, known := d.height(s)
		if known {
			run.Points = append(run.Points, render.RunPoint{At: at, Height: h, Status: d.status(s), Gap: gap})
		}
		gap = !known
		run.Length = max(n, 1) * freePitch
	}
	if len(marks) == 0 {
		return nil, render.Strip{}
	}
	// An open run is named at both ends.
	if last := marks[len(marks)-1]; len(marks) > 1 && run.Corners[len(run.Corners)-1].At != run.Length {
		run.Corners = append(run.Corners, render.RunCorner{Name: last.Name, At: run.Length})
	}
	strip := d.strip([]render.Run{run})
	strip.Title = d.say("paper.strip.free")
	return marks, strip
}

// strip puts words and ruled heights to the runs.
func (d *drawing) strip(runs []render.Run) render.Strip {
	out := render.Strip{
		Title:     d.say("paper.strip.title"),
		ZeroLabel: d.v.SayReference(d.lang),
		HighLabel: d.say("paper.high"),
		LowLabel:  d.say("paper.low"),
		Runs:      runs,
	}
	if d.settled() {
		out.ZeroLabel = d.say("paper.strip.datum")
	}
	d.walks(&out)
	var low, high reduce.Length
	for _, r := range runs {
		for _, p := range slices.Concat(r.Points, r.Before) {
			low, high = min(low, p.Height), max(high, p.Height)
		}
	}
	for _, h := range ruled(d.job.Unit, d.job.Finest, low, high) {
		out.Ticks = append(out.Ticks, render.Tick{Height: h, Text: d.figure(h)})
	}
	return out
}

// maxRuled bounds how many heights are ruled: more would crowd a strip.
const maxRuled = 5

// ruled finds three to five heights, highest first, that a crew counts in,
// evenly spaced, with 0 among them, reaching from low (≤ 0) to high (≥ 0).
func ruled(u reduce.Unit, finest, low, high reduce.Length) []reduce.Length {
	for step := range steps(u, finest) {
		top, bottom := -floor(-high, step), floor(low, step)
		if top-bottom > maxRuled-1 {
			continue
		}
		// Level or nearly so: one line each side of 0 at least.
		if top-bottom < 2 {
			top, bottom = max(top, 1), min(bottom, -1)
		}
		var out []reduce.Length
		for n := top; n >= bottom; n-- {
			out = append(out, n*step)
		}
		return out
	}
	return nil
}

// steps yields amounts from the finest up: halves doubled and then 1, 2, 3, 6,
// 12 in; 1, 2, 5, 10 of feet and millimetres.
func steps(u reduce.Unit, finest reduce.Length) func(yield func(reduce.Length) bool) {
	return func(yield func(reduce.Length) bool) {
		factors := []reduce.Length{2, 5, 10}
		if u == reduce.UnitInch {
			factors = []reduce.Length{2}
		}
		for step := finest; step <= reduce.MaxLength; step *= factors[len(factors)-1] {
			if !yield(step) {
				return
			}
			for _, f := range factors[:len(factors)-1] {
				if !yield(f * step) {
					return
				}
			}
			if u == reduce.UnitInch && step == 2*reduce.Inch {
				step = 3 * reduce.Inch / 2
			}
		}
	}
}

// floor divides, rounding down.
func floor(l, step reduce.Length) reduce.Length {
	q := l / step
	if l%step < 0 {
		q--
	}
	return q
}

// scaleBar is a round length of about a quarter of the outline, and its words.
func (d *drawing) scaleBar() (reduce.Length, string) {
	var all []reduce.Point
	for _, l := range d.job.Outline.Loops {
		all = append(all, l.Corners...)
	}
	if len(all) == 0 {
		return 0, ""
	}
	x := func(a, b reduce.Point) int { return int(a.X - b.X) }
	y := func(a, b reduce.Point) int { return int(a.Y - b.Y) }
	wide := max(slices.MaxFunc(all, x).X-slices.MinFunc(all, x).X, slices.MaxFunc(all, y).Y-slices.MinFunc(all, y).Y)
	mark := d.job.Mark()
	bar := mark
	for _, n := range []reduce.Length{2, 5, 10, 20, 50, 100, 200} {
		if n*mark*4 <= wide {
			bar = n * mark
		}
	}
	return bar, d.v.SayDistance(d.lang, bar)
}

// onSill says that a station is a spot of the sill or a pier, and not a
// benchmark or a turning point.
func onSill(s reduce.Station) bool { return s.Kind == reduce.Wall || s.Kind == reduce.Pier }
