package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// shimPlan is the plan of the shims, or why there is none.
func (h *hearing) shimPlan() (View, ShimPlan, answer, bool) {
	v := h.job.View()
	p, ok := v.ShimPlan()
	if ok {
		return v, p, answer{}, true
	}
	a := answer{unheard: true, next: true}
	switch {
	case v.Count == 0 && v.Extent == nil:
		a.lines = []string{h.say("shims.unread")}
	case v.Datum == nil:
		a.lines, a.next = []string{h.say("shims.nodatum")}, false
		h.offerDatum(v, &a, false)
	default:
		a.lines = []string{h.say("shims.nolevel", v.SayDatum(h.lang))}
	}
	return v, p, a, false
}

// shims tells the plan; of a station, the list of its wall.
func (h *hearing) shims(m phrase.Meaning) answer {
	v, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	switch arg := m.Arg.(type) {
	case phrase.StationArg:
		return answer{lines: h.shimList(v, &p, arg.Station)}
	case phrase.Text:
		return answer{lines: h.shimList(v, &p, reduce.Station{})}
	}
	a = answer{lines: h.planLines(v, &p)}
	if slices.ContainsFunc(p.Points, ShimPoint.Left) {
		a.buttons = []Button{
			{h.say("shim.button"), commandWord(h.lang, phrase.CmdShimFrom)},
			{h.say("shims.list.button"), h.say("shims.list.words")},
		}
		return a
	}
	a.next = true
	return a
}

// tallied is what a plan comes to, for the chat.
type tallied struct {
	left, set, coarse int
	engineer, grind   []ShimPoint
	high, unread      []reduce.Station
	off               reduce.Length // the most that a stack is beside its amount; of the coarse ones, where there are any
	offAt             string
}

func (p *ShimPlan) tally(v View) tallied {
	var t tallied
	for _, b := range p.Points {
		switch {
		case b.Set:
			t.set++
		case b.Engineer:
			t.engineer = append(t.engineer, b)
		case b.Known && b.Amount < 0 && !v.SameLevel(b.Amount):
			t.grind = append(t.grind, b)
		case b.Left():
			t.left++
		}
		if !b.Known || b.Engineer || b.Set || b.Amount <= 0 {
			continue
		}
		if b.Fit.Coarse(v.Job.Finest) {
			if t.coarse++; t.coarse == 1 {
				t.off = 0
			}
		} else if t.coarse > 0 {
			continue
		}
		if o := b.Fit.Over().Abs(); o > t.off {
			t.off, t.offAt = o, b.Name
		}
	}
	for _, s := range p.Plate.Spots {
		if s.Read && s.Target > v.Job.Tolerance {
			t.high = append(t.high, s.Station)
		}
	}
	t.unread = p.Plate.Unread
	return t
}

// planLines tell what the plate needs.
func (h *hearing) planLines(v View, p *ShimPlan) []string {
	t := p.tally(v)
	var lines []string
	add := func(key Key, args ...any) { lines = append(lines, h.say(key, args...)) }
	switch {
	case t.left > 0 && t.set > 0:
		add("shims.more", t.left, t.set, p.Dealt.Pieces, v.SayShims(h.lang, p.Dealt.Used))
	case t.left > 0:
		add("shims.plan", t.left, len(p.Points), p.Dealt.Pieces, v.SayShims(h.lang, p.Dealt.Used))
	case t.set > 0:
		add("shims.done", t.set)
	case len(t.engineer) == 0:
		add("shims.nothing", v.SayMeasure(h.lang, h.job.Tolerance))
	}
	if t.left > 0 {
		if p.StockOurs {
			add("shims.ours", v.sizes(h.lang, p.Stock), p.Most)
		} else {
			add("shims.stock", v.SayShims(h.lang, p.Stock), p.Most)
		}
		lines = append(lines, h.shortLines(v, p)...)
		if t.coarse > 0 {
			add("shims.coarse", t.coarse, v.sayFine(h.lang, t.off), t.offAt)
		} else if t.off > h.job.Finest/8 {
			add("shims.rounded", v.sayFine(h.lang, t.off), t.offAt)
		}
		if len(p.Buy) > 0 {
			add("shims.buy", v.SayShims(h.lang, p.Buy), p.Spares)
		} else {
			add("shims.buy.none", p.Spares)
		}
	}
	if len(t.engineer) > 0 {
		gap := v.SayMeasure(h.lang, h.job.PlateOptions().Gap)
		add("shims.engineer", h.points(v, t.engineer), gap)
		if h.once("caution.gap") {
			add("caution.gap", gap)
		}
	}
	if len(t.grind) > 0 {
		add("shims.grind", h.points(v, t.grind))
		if h.once("caution.dust") {
			add("caution.dust")
		}
	}
	if len(t.high) > 0 {
		add("shims.high", h.list(t.high))
	}
	if len(t.unread) > 0 {
		add("shims.missing", h.list(t.unread))
	}
	if t.left+t.set > 0 && p.Grout.IsPositive() {
		key := Key("shims.grout")
		if p.BagOurs {
			key = "shims.grout.ours"
		}
		add(key, v.SayMeasure(h.lang, p.PlateWidth), v.SayVolume(h.lang, p.Grout), reduce.DefaultGroutWaste, p.Bags, v.SayVolume(h.lang, millilitres(p.Bag)))
	}
	return lines
}

// shortLines say how far the shims on hand go.
func (h *hearing) shortLines(v View, p *ShimPlan) []string {
	if p.Dealt.Made == p.Dealt.Wanted {
		return nil
	}
	lines := []string{h.say("shims.short", p.Dealt.Wanted-p.Dealt.Made, v.SayShims(h.lang, p.Dealt.Lack))}
	if more := p.Dealt.AtMost - p.Dealt.Made; more > 0 {
		lines = append(lines, h.say("shims.atmost", more))
	}
	return lines
}

// points names points with their amounts, shortened where they are many.
func (h *hearing) points(v View, all []ShimPoint) string {
	var out []string
	for _, b := range all {
		out = append(out, b.Name+" "+h.amount(b.Amount))
	}
	return strings.Join(shorten(out, maxListed, func(n int) string { return h.say("more", n) }), ", ")
}

// maxListLines bounds a list of shims in one message.
const maxListLines = 60

// shimList lists what is laid where, point by point along the walls: of one
// wall, or of all. Points next to each other that get the same are one line.
func (h *hearing) shimList(v View, p *ShimPlan, wall reduce.Station) []string {
	var lines []string
	head := 0
	for i := 0; i < len(p.Points); i++ {
		b := p.Points[i]
		s := b.Station
		if !wall.IsZero() && (s.Kind != wall.Kind || s.Number != wall.Number) || len(b.Stack()) == 0 {
			continue
		}
		if s.Kind == reduce.Wall && s.Number != head && wall.IsZero() && !h.job.Outline.Empty() {
			head = s.Number
			lines = append(lines, h.say("shims.wall", h.name(reduce.Corner(head))))
		}
		last := i
		for last+1 < len(p.Points) && p.Points[last+1].Station.Number == s.Number && p.Points[last+1].Station.Kind == s.Kind &&
			slices.Equal(p.Points[last+1].Stack(), b.Stack()) && p.Points[last+1].Set == b.Set && p.Points[last+1].Short == b.Short {
			last++
		}
		lines = append(lines, h.listLine(v, b, p.Points[last], last-i+1))
		i = last
	}
	if len(lines) == 0 {
		if wall.IsZero() {
			return []string{h.say("shims.nothing", v.SayMeasure(h.lang, h.job.Tolerance))}
		}
		return []string{h.say("shims.list.nothing", h.name(wall))}
	}
	if n := len(lines); n > maxListLines {
		lines = append(lines[:maxListLines-1], h.say("shims.list.more", n-maxListLines+1))
	}
	return lines
}

func (h *hearing) listLine(v View, from, to ShimPoint, n int) string {
	name := from.Name
	switch {
	case n == 2:
		name = h.say("shims.pair", from.Name, to.Name)
	case n > 2:
		name = h.say("shims.run", from.Name, to.Name, n)
	}
	key := Key("shims.line")
	switch {
	case from.Set:
		key = "shims.line.set"
	case from.Short:
		key = "shims.line.short"
	}
	return h.say(key, name, v.SayStack(h.lang, from.Stack()))
}
