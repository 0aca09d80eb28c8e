package render

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"rodcall/reduce"
)

const (
	stripHeight = 300 // from the highest to the lowest place that can be drawn
	stripLeast  = 46  // of it above and below the zero line, for the labels
	stripRadius = 8
	runGap      = 44
	nameDrop    = 8  // from the strip to its corners' names
	stepDrop    = 6  // from those to the steps' names
	stepGap     = 10 // between them
	stepAside   = 6  // two heights at one spot stand so far to either side of it
)

// strip is the lower part of the page: walls unrolled along x, heights
// exaggerated along y.
type strip struct {
	*Strip
	left, right float64   // ends of the rules
	zero        float64   // y of the zero line
	up, down    float64   // room above and below it
	along       float64   // pixels a metre of wall
	times       float64   // exaggeration
	starts      []float64 // x of each run
}

// exaggeration is the largest of 1, 1.5, 2, 2.5, 3, 4, 5, 6 and 8 times a
// power of ten that is not above v.
func exaggeration(v float64) float64 {
	if !(v > 0) || math.IsInf(v, 1) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	best := ten
	for _, n := range []float64{1.5, 2, 2.5, 3, 4, 5, 6, 8} {
		if n*ten <= v {
			best = n * ten
		}
	}
	return best
}

func (s *strip) empty() bool {
	for _, r := range s.Runs {
		if r.Length > 0 {
			return false
		}
	}
	return true
}

// measure fits the strip between the page's margins.
func (s *strip) measure() {
	s.left, s.right = margin, pageWidth-margin
	var hi, lo, length float64
	for _, t := range s.Ticks {
		hi, lo = max(hi, inMetres(t.Height)), min(lo, inMetres(t.Height))
		s.left = max(s.left, margin+16+textWidth(s.tickText(t), emAmount, false))
	}
	for _, text := range []string{s.ZeroLabel, s.HighLabel, s.LowLabel} {
		s.right = min(s.right, pageWidth-margin-12-textWidth(s.label(text), emSmall, false))
	}
	for _, r := range s.Runs {
		length += inMetres(max(r.Length, 0))
		for _, q := range append(r.placed(r.Points), r.placed(r.Before)...) {
			hi, lo = max(hi, inMetres(q.Height)), min(lo, inMetres(q.Height))
		}
	}
	gaps := min(runGap*float64(len(s.Runs)-1), (s.right-s.left)/3)
	s.along = (s.right - s.left - 2*runGap - gaps) / length
	x := s.left + runGap
	for _, r := range s.Runs {
		s.starts = append(s.starts, x)
		x += inMetres(max(r.Length, 0))*s.along + gaps/float64(max(1, len(s.Runs)-1))
	}
	s.times = exaggeration((stripHeight - 2*stripLeast) / ((hi - lo) * s.along))
	s.up = max(stripLeast, hi*s.along*s.times+stripRadius+4)
	s.down = max(stripLeast, -lo*s.along*s.times+stripRadius+4)
}

// placed are those of some points that lie on the run, and are drawn: others
// would stand where no wall is.
func (r *Run) placed(points []RunPoint) []RunPoint {
	var on []RunPoint
	for _, q := range points {
		if r.has(q.At) {
			on = append(on, q)
		}
	}
	return on
}

func (r *Run) has(at reduce.Length) bool { return 0 <= at && at <= r.Length }

func inMetres(l reduce.Length) float64 { return float64(l) / float64(reduce.Metre) }

// rise is how far above the zero line a height stands.
func (s *strip) rise(h reduce.Length) float64 { return inMetres(h) * s.along * s.times }

func (s *strip) tickText(t Tick) string { return shorten(t.Text, emAmount, false, 180) }

func (s *strip) label(text string) string { return shorten(text, emSmall, false, 220) }

func drawStrip(page *Page, data *Strip, y float64) float64 {
	s := strip{Strip: data}
	if s.empty() {
		return y
	}
	s.measure()
	y += 16
	title := strings.ReplaceAll(s.Title, "%s", strconv.FormatFloat(s.times, 'f', -1, 64))
	page.text(RoleStripText, InkText, emText, true, margin, y, shorten(title, emText, true, pageWidth-2*margin), "")
	y += emText + 8
	if s.Before != "" || s.Now != "" {
		s.drawWalks(page, y+emText/2)
		y += emText + 8
	}
	if len(s.Runs) > 1 {
		s.drawLoops(page, y)
		y += emSmall + 4
	}
	s.zero = y + s.up
	s.drawRules(page)
	s.drawCorners(page)
	for i := range s.Runs {
		s.drawRun(page, i)
	}
	return s.zero + s.down + nameDrop + emSmall + s.drawSteps(page)
}

// drawSteps rules the steps and names them in a row under the corners; a name
// that would touch another is left out. It returns how high that row is.
func (s *strip) drawSteps(page *Page) float64 {
	y := s.zero + s.down + nameDrop + emSmall + stepDrop
	end, any := float64(margin)-stepGap, false
	for i, r := range s.Runs {
		for _, step := range r.Steps {
			if !r.has(step.At) {
				continue
			}
			x := s.starts[i] + inMetres(step.At)*s.along
			path := []Pt{{x, s.zero - s.up}, {x, s.zero + s.down}}
			page.add(Item{Kind: KindStroke, Role: RoleStrip, Ink: InkText, Width: 3, Dash: 8, Path: path, Box: bounds(path, 3)})
			text := shorten(step.Text, emSmall, false, 260)
			w := textWidth(text, emSmall, false)
			at := min(max(x-w/2, margin), pageWidth-margin-w)
			if text == "" || at < end+stepGap {
				continue
			}
			page.text(RoleStripText, InkText, emSmall, false, at, y, text, "")
			end, any = at+w, true
		}
	}
	if !any {
		return 0
	}
	return stepDrop + emSmall
}

// drawLoops names the runs where there is more than one.
func (s *strip) drawLoops(page *Page, y float64) {
	for i, r := range s.Runs {
		end := s.right
		if i+1 < len(s.Runs) {
			end = s.starts[i+1] - 12
		}
		name := shorten(r.Loop, emSmall, false, end-s.starts[i])
		if name != "…" {
			page.text(RoleStripText, InkText, emSmall, false, s.starts[i], y, name, "")
		}
	}
}

// drawRules rules the zero line and the ticks, and names both. Where ticks
// would crowd, the ones farther out stay.
func (s *strip) drawRules(page *Page) {
	ticks := append([]Tick(nil), s.Ticks...)
	sort.SliceStable(ticks, func(i, j int) bool { return math.Abs(inMetres(ticks[i].Height)) > math.Abs(inMetres(ticks[j].Height)) })
	var kept []float64
next:
	for _, t := range ticks {
		y := s.zero - s.rise(t.Height)
		for _, k := range kept {
			if math.Abs(k-y) < emAmount+2 {
				continue next
			}
		}
		kept = append(kept, y)
		if t.Height != 0 {
			page.dashed(RoleStrip, InkLine, 1.5, 5, Pt{s.left, y}, Pt{s.right, y})
		}
		text := s.tickText(t)
		page.text(RoleTickAmount, InkText, emAmount, false, s.left-8-textWidth(text, emAmount, false), y-emAmount/2, text, "")
	}
	page.stroke(RoleStrip, InkText, 2.5, "", Pt{s.left, s.zero}, Pt{s.right, s.zero})
	x := s.right + 8
	page.text(RoleStripText, InkText, emSmall, false, x, s.zero-emSmall/2, s.label(s.ZeroLabel), "")
	page.text(RoleStripText, InkText, emSmall, false, x, s.zero-emSmall/2-emSmall-6, s.label(s.HighLabel), "")
	page.text(RoleStripText, InkText, emSmall, false, x, s.zero+emSmall/2+6, s.label(s.LowLabel), "")
}

// drawCorners rules the corners and names them, each run's first before the
// others; a name that would touch another is left out.
func (s *strip) drawCorners(page *Page) {
	y := s.zero + s.down + nameDrop
	var taken []Box
	name := func(x float64, text string) {
		text = shorten(text, emSmall, true, 160)
		w := textWidth(text, emSmall, true)
		b := Box{x - w/2, y, x + w/2, y + emSmall}
		for _, t := range taken {
			if b.grow(5).Overlaps(t) {
				return
			}
		}
		if b.X0 < margin || b.X1 > pageWidth-margin {
			return
		}
		taken = append(taken, b)
		page.text(RoleCornerName, InkText, emSmall, true, b.X0, y, text, text)
	}
	for i, r := range s.Runs {
		if len(r.Corners) > 0 {
			name(s.starts[i], r.Corners[0].Name)
		}
	}
	for i, r := range s.Runs {
		for _, c := range r.Corners {
			if !r.has(c.At) {
				continue
			}
			x := s.starts[i] + inMetres(c.At)*s.along
			page.stroke(RoleStrip, InkLine, 1.5, "", Pt{x, s.zero - s.up}, Pt{x, s.zero + s.down})
			if c.At != 0 {
				name(x, c.Name)
			}
		}
	}
}

// drawRun draws the stations of a run: a stem from the zero line, and the
// status's shape at its end.
func (s *strip) drawRun(page *Page, i int) {
	r := &s.Runs[i]
	place := func(q RunPoint) Pt {
		return Pt{s.starts[i] + inMetres(q.At)*s.along, s.zero - s.rise(q.Height)}
	}
	s.drawBefore(page, r, place)
	points := r.placed(r.Points)
	radius := make([]float64, len(points))
	var line []Pt
	for k, q := range points {
		line, radius[k] = append(line, place(q)), stripRadius
		if k > 0 && q.At == points[k-1].At {
			line[k-1].X, line[k].X = line[k-1].X-stepAside, line[k].X+stepAside
		}
		if k > 0 { // shapes keep apart from their neighbours
			d := 0.42 * math.Hypot(line[k].X-line[k-1].X, line[k].Y-line[k-1].Y)
			radius[k-1], radius[k] = max(2, min(radius[k-1], d)), max(2, min(radius[k], d))
		}
	}
	for _, part := range unbroken(points, line) {
		page.stroke(RoleStrip, InkLine, 2, "", part...)
	}
	for k, q := range points {
		page.stroke(RoleStrip, inkOf(q.Status), 2.5, "", Pt{line[k].X, s.zero}, line[k])
	}
	for k, q := range points {
		shape(page, RoleStrip, q.Status, line[k], radius[k], "")
	}
}
