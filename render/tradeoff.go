package render

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"rodcall/reduce"
)

// Tradeoff is a picture of the levels that can be built to, as data: how much
// work each is, and how many spots it moves.
type Tradeoff struct {
	Title   string
	Lines   []string // facts under it
	Work    string   // over the curve of the work
	Spots   string   // over the stems of the spots
	Axis    string   // under the levels
	Samples []Sample // lowest level first; without any there is no curve
	// Ticks to be ruled and named: of the levels, of the work (a length of
	// shims), and of the spots.
	LevelTicks, WorkTicks []Tick
	SpotTicks             []int
	Choices               []Choice // as they are listed
	// Shut are levels beyond the limits, and ShutText says so.
	Shut     []Span
	ShutText string
}

// Sample is a level above the reference and what it takes.
type Sample struct {
	Level, Work reduce.Length
	Spots       int
}

// Choice is a level that is offered: one number for all that come to it.
type Choice struct {
	Sample
	Name string
	Cost string // in words
	Shut bool   // beyond the limits
}

// Span is a run of levels.
type Span struct{ From, To reduce.Length }

const (
	emList     = 32
	discRadius = 23
	workHeight = 300
	spotHeight = 170
	plotTop    = 12 // over the highest of a panel
	maxChoices = 8  // more are not drawn
	hatchPitch = 18
	plotInset  = 24 // from the ends of the rules to the first and last level
)

// plot is the lower part of a trade-off: two panels over one axis.
type plot struct {
	*Tradeoff
	left, right float64
	from, to    float64 // levels at left and right, metres
	page        *Page
}

// LayoutTradeoff lays a trade-off out on a page 1280 pixels wide.
func LayoutTradeoff(t *Tradeoff) (*Page, error) {
	if len(t.Choices) > maxChoices {
		return nil, errors.New("too many choices to draw")
	}
	page := &Page{Width: pageWidth, Title: clean(t.Title), Desc: clean(strings.Join(t.Lines, "; "))}
	y := head(page, &Scene{Title: t.Title, Lines: t.Lines})
	y = drawChoices(page, t, y)
	if n := len(t.Samples); n > 1 && t.Samples[0].Level < t.Samples[n-1].Level {
		p := plot{Tradeoff: t, page: page, from: inMetres(t.Samples[0].Level), to: inMetres(t.Samples[n-1].Level)}
		y = p.draw(y)
	}
	page.Height = int(y + margin)
	return page, nil
}

// drawChoices lists the choices by number: the name, and beside it, or under it
// where there is no room, the cost.
func drawChoices(page *Page, t *Tradeoff, y float64) float64 {
	const x, right = float64(margin + 2*discRadius + 14), float64(pageWidth - margin)
	y += 6
	for i, c := range t.Choices {
		disc(page, i, Pt{margin + discRadius, y + discRadius}, c.Shut)
		name, top := shorten(c.Name, emList, true, right-x), y+discRadius-emList/2
		page.text(RoleKey, InkText, emList, true, x, top, name, "")
		y += 2*discRadius + 6
		at := x + textWidth(name, emList, true) + 16
		if at+textWidth(clean(c.Cost), emList, false) > right {
			at, top = x, y-2
			y += emList + 8
		}
		page.text(RoleKey, InkText, emList, false, at, top, shorten(c.Cost, emList, false, right-at), "")
	}
	return y
}

// disc is a choice's number in a ring; a broken ring says that it is beyond the
// limits.
func disc(page *Page, i int, c Pt, shut bool) {
	page.fill(RoleMark, InkPaper, "", circle(c, discRadius, 28, 0)...)
	dash := 0.0
	if shut {
		dash = 7
	}
	page.ring(RoleMark, inkOfChoice(shut), 3, dash, "", circle(c, discRadius-2, 28, 0))
	n := strconv.Itoa(i + 1)
	page.text(RoleKey, InkText, emSmall, true, c.X-textWidth(n, emSmall, true)/2, c.Y-emSmall/2, n, "")
}

func inkOfChoice(shut bool) Ink {
	if shut {
		return InkLower
	}
	return InkRaise
}

func (p *plot) x(level reduce.Length) float64 {
	return p.left + plotInset + (inMetres(level)-p.from)/(p.to-p.from)*(p.right-p.left-2*plotInset)
}

// draw draws the panels and the axis from y on, and says where they end.
func (p *plot) draw(y float64) float64 {
	p.left, p.right = margin, pageWidth-margin-80
	for _, t := range p.WorkTicks {
		p.left = max(p.left, margin+14+textWidth(p.tick(t.Text), emAmount, false))
	}
	for _, n := range p.SpotTicks {
		p.left = max(p.left, margin+14+textWidth(strconv.Itoa(n), emAmount, false))
	}
	var work, spots float64
	for _, s := range p.Samples {
		work, spots = max(work, inMetres(s.Work)), max(spots, float64(s.Spots))
	}
	for _, t := range p.WorkTicks {
		work = max(work, inMetres(t.Height))
	}
	for _, n := range p.SpotTicks {
		spots = max(spots, float64(n))
	}

	y = p.heading(p.Work, y+10)
	discs := y + discRadius
	y = discs + discRadius + 14
	workZero := y + workHeight
	y = p.heading(p.Spots, workZero+22)
	spotZero := y + spotHeight
	workAt := func(l reduce.Length) float64 {
		return workZero - inMetres(l)/max(work, 1e-9)*(workHeight-plotTop)
	}
	spotAt := func(n int) float64 { return spotZero - float64(n)/max(spots, 1)*(spotHeight-plotTop) }

	for _, s := range p.Shut {
		p.hatch(s, workZero-workHeight, workZero)
		p.hatch(s, spotZero-spotHeight, spotZero)
	}
	for _, t := range p.WorkTicks {
		p.rule(workAt(t.Height), p.tick(t.Text))
	}
	for _, n := range p.SpotTicks {
		p.rule(spotAt(n), strconv.Itoa(n))
	}
	p.stems(spotZero, spotAt)
	var curve []Pt
	for _, s := range p.Samples {
		curve = append(curve, Pt{p.x(s.Level), workAt(s.Work)})
	}
	p.page.stroke(RoleStrip, InkText, 4, "", curve...)
	p.page.stroke(RoleStrip, InkText, 2.5, "", Pt{p.left, workZero}, Pt{p.right, workZero})
	p.page.stroke(RoleStrip, InkText, 2.5, "", Pt{p.left, spotZero}, Pt{p.right, spotZero})
	p.choices(discs, workZero, spotZero, workAt, spotAt)
	return p.axis(spotZero)
}

func (p *plot) tick(text string) string { return shorten(text, emAmount, false, 180) }

func (p *plot) heading(text string, y float64) float64 {
	p.page.text(RoleStripText, InkText, emList, false, margin, y, shorten(text, emList, false, pageWidth-2*margin), "")
	return y + emList + 8
}

func (p *plot) rule(y float64, text string) {
	path := []Pt{{p.left, y}, {p.right, y}}
	p.page.add(Item{Kind: KindStroke, Role: RoleStrip, Ink: InkLine, Width: 1.5, Dash: 5, Path: path, Box: bounds(path, 1.5)})
	p.page.text(RoleTickAmount, InkText, emAmount, false, p.left-10-textWidth(text, emAmount, false), y-emAmount/2, text, "")
}

// stems are the spots that each level moves; those of the choices are heavier.
func (p *plot) stems(zero float64, at func(int) float64) {
	pitch := (p.right - p.left - 2*plotInset) / float64(len(p.Samples))
	width := min(max(pitch*0.4, 1.5), 14)
	for _, s := range p.Samples {
		if s.Spots > 0 {
			p.page.stroke(RoleStrip, InkLine, width, "", Pt{p.x(s.Level), zero}, Pt{p.x(s.Level), at(s.Spots)})
		}
	}
	for _, c := range p.Choices {
		if c.Spots > 0 {
			p.page.stroke(RoleStrip, inkOfChoice(c.Shut), width+4, "", Pt{p.x(c.Level), zero}, Pt{p.x(c.Level), at(c.Spots)})
		}
	}
}

// choices puts the numbers over the plot, and leads each down to where it cuts
// the curve: a full dot, or a cross where it is beyond the limits.
func (p *plot) choices(y, workZero, spotZero float64, workAt func(reduce.Length) float64, spotAt func(int) float64) {
	order := make([]int, len(p.Choices))
	for i := range order {
		order[i] = i
	}
	for i := 1; i < len(order); i++ { // few, and no two at one level
		for j := i; j > 0 && p.Choices[order[j]].Level < p.Choices[order[j-1]].Level; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	var want, lo, hi []float64
	gaps := make([][]gap, len(order))
	for k, i := range order {
		want = append(want, p.x(p.Choices[i].Level))
		lo, hi = append(lo, p.left+discRadius), append(hi, p.right-discRadius)
		if k > 0 {
			gaps[k] = []gap{{k - 1, 2*discRadius + 8}}
		}
	}
	at, ok := spread(want, lo, hi, gaps)
	if !ok {
		at = want
	}
	for k, i := range order {
		c := &p.Choices[i]
		x, ink := want[k], inkOfChoice(c.Shut)
		path := []Pt{{at[k], y + discRadius}, {x, workZero - workHeight}, {x, workAt(c.Work)}}
		p.page.stroke(RoleLeader, ink, 2, "", path...)
		down := []Pt{{x, workAt(c.Work)}, {x, workZero}}
		p.page.add(Item{Kind: KindStroke, Role: RoleLeader, Ink: ink, Width: 2, Dash: 6, Path: down, Box: bounds(down, 2)})
		disc(p.page, i, Pt{at[k], y}, c.Shut)
		m := Pt{x, workAt(c.Work)}
		if !c.Shut {
			p.page.fill(RoleMark, InkPaper, "", circle(m, 14, 24, 0)...)
			p.page.fill(RoleMark, ink, "", circle(m, 11, 24, 0)...)
			continue
		}
		p.page.fill(RoleMark, InkPaper, "", circle(m, 15, 24, 0)...)
		for _, d := range []float64{1, -1} {
			p.page.stroke(RoleMark, ink, 5, "", Pt{m.X - 9, m.Y - 9*d}, Pt{m.X + 9, m.Y + 9*d})
		}
	}
}

// hatch shades a run of levels by slanted lines.
func (p *plot) hatch(s Span, top, bottom float64) {
	x0, x1 := p.x(s.From), p.x(s.To)
	if x0 <= p.left+plotInset { // the first level
		x0 = p.left
	}
	if x1 >= p.right-plotInset {
		x1 = p.right
	}
	if x1-x0 < 2 {
		return
	}
	hatch(p.page, Box{x0, top, x1, bottom})
}

func hatch(page *Page, b Box) {
	h := b.Y1 - b.Y0
	for x := math.Floor((b.X0-h)/hatchPitch) * hatchPitch; x < b.X1; x += hatchPitch {
		// From x on the lower edge, up and to the right.
		from, to := max(x, b.X0), min(x+h, b.X1)
		if to-from > 1 {
			page.stroke(RoleStrip, InkLine, 1.2, "", Pt{from, b.Y1 - (from - x)}, Pt{to, b.Y1 - (to - x)})
		}
	}
}

// axis names the levels under the panels.
func (p *plot) axis(zero float64) float64 {
	y := zero + 22
	end := float64(margin)
	for _, t := range p.LevelTicks {
		x := p.x(t.Height)
		text := shorten(t.Text, emList, false, 240)
		w := textWidth(text, emList, false)
		left := min(max(x-w/2, margin), pageWidth-margin-w)
		if left < end || x < p.left || x > p.right {
			continue // no room beside the one before
		}
		end = left + w + 14
		p.page.stroke(RoleStrip, InkText, 2.5, "", Pt{x, zero}, Pt{x, y - 2})
		p.page.text(RoleStripText, InkText, emList, false, left, y, text, "")
	}
	y = p.heading(p.Axis, y+emList+8)
	if len(p.Shut) > 0 {
		b := Box{margin, y, margin + 70, y + emList}
		hatch(p.page, b)
		p.page.text(RoleKey, InkText, emList, false, b.X1+14, y, shorten(p.ShutText, emList, false, pageWidth-margin-b.X1-14), "")
		y += emList + 8
	}
	return y
}
