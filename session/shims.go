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
	h.weighs = true
	if ok {
		return v, p, answer{}, true
	}
	a := answer{unheard: true, next: true}
	switch open := v.levelHeard(); {
	case len(open) > 0:
		a.lines = []string{h.say("shims.level.heard", h.list(open))}
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
		a = answer{lines: h.shimList(v, &p, arg.Station)}
	case phrase.Text:
		a = answer{lines: h.shimList(v, &p, reduce.Station{})}
	default:
		a = answer{lines: h.planLines(v, &p)}
	}
	switch list := (Button{h.say("shims.list.button"), h.say("shims.list.words")}); {
	case h.shimming():
		a.next = true // the spot is named again, with its buttons
	case slices.ContainsFunc(p.Points, ShimPoint.todo):
		a.buttons = []Button{{h.say("shim.button"), commandWord(h.lang, phrase.CmdShimFrom)}}
		if m.Arg == nil {
			a.buttons = append(a.buttons, list)
		}
		return a
	case m.Arg == nil && slices.ContainsFunc(p.Points, func(b ShimPoint) bool { return b.Lies != 0 }):
		a.buttons = []Button{list}
	}
	a.next = true
	return a
}

// tallied is what a plan comes to, for the chat.
type tallied struct {
	left, set, coarse, known      int
	out, engineer, grind, outside []ShimPoint
	high, unread, heard           []reduce.Station
	off                           reduce.Length // the most that a stack is beside its amount; of the coarse ones, where there are any
	offAt                         ShimPoint
}

func (p *ShimPlan) tally(v View) tallied {
	var t tallied
	for _, b := range p.Points {
		if b.Known {
			t.known++
		}
		if b.Out > 0 {
			t.out = append(t.out, b)
		}
		switch ground := b.Ground(); {
		case b.Set:
			t.set++
		case b.Engineer:
			t.engineer = append(t.engineer, b)
		case ground > 0 && !v.SameLevel(ground):
			t.grind = append(t.grind, b)
		case b.Left():
			t.left++
		}
		if b.outside(v.Job.Tolerance, v.Job.Finest) {
			t.outside = append(t.outside, b)
		}
		if !b.Known || b.Engineer || b.Set || b.Missing() <= 0 {
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
			t.off, t.offAt = o, b
		}
	}
	for _, s := range p.Plate.Spots {
		if s.Read && s.Target > v.Job.Tolerance {
			t.high = append(t.high, s.Station)
		}
	}
	open := v.heardAt()
	for _, s := range p.Plate.Unread {
		if slices.Contains(open, s) {
			t.heard = append(t.heard, s)
		} else {
			t.unread = append(t.unread, s)
		}
	}
	return t
}

// planLines tell what the plate needs.
func (h *hearing) planLines(v View, p *ShimPlan) []string {
	t := p.tally(v)
	var lines []string
	add := func(key Key, args ...any) { lines = append(lines, h.say(key, args...)) }
	pieces, used, made := p.Dealt.Pieces, v.SayShims(h.lang, p.Dealt.Used), p.Dealt.Made
	switch short := made < t.left; {
	case t.left > 0 && made == 0:
		add("shims.none", t.left)
	case t.left > 0 && short:
		add("shims.some", t.left, made, pieces, used)
	case t.left > 0 && t.set > 0:
		add("shims.more", t.left, t.set, pieces, used)
	case t.left > 0:
		add("shims.plan", t.left, len(p.Points), pieces, used)
	case t.set > 0 && (t.known < len(p.Points) || len(t.out) > 0):
		add("shims.set", t.set)
	case t.set > 0:
		add("shims.done", t.set)
	case len(t.engineer)+len(t.out)+len(t.grind)+len(t.outside) > 0:
	case t.known == len(p.Points) && len(t.high) == 0:
		add("shims.nothing", t.known, v.SayTolerance(h.lang))
	case t.known > 0:
		add("shims.nothing.known", t.known)
	}
	if t.left > 0 && t.set > 0 && made < t.left {
		add("shims.set", t.set)
	}
	if len(t.out) > 0 {
		add("shims.out", h.outs(v, t.out))
	}
	if t.left > 0 {
		if p.StockOurs {
			add("shims.ours", v.sizes(h.lang, p.Stock), p.Most)
		} else {
			add("shims.stock", h.onHand(v, p.Stock), p.Most)
		}
		lines = append(lines, h.shortLines(v, p)...)
	}
	if len(t.outside) > 0 {
		lines = append(lines, h.outsideLine(t))
	} else if t.left > 0 && t.coarse > 0 {
		add("shims.coarse", t.coarse, v.sayFine(h.lang, t.off), h.spotName(t.offAt))
	} else if t.left > 0 && t.off > h.job.Finest/8 {
		add("shims.rounded", v.sayFine(h.lang, t.off), h.spotName(t.offAt))
	}
	if t.left > 0 {
		if len(p.Buy) > 0 {
			add("shims.buy", v.SayShims(h.lang, p.Buy), p.Spares)
		} else {
			add("shims.buy.none", p.Spares)
		}
	}
	if len(t.engineer) > 0 {
		gap := v.SayMeasure(h.lang, h.job.PlateOptions().Gap)
		add("shims.engineer", h.points(t.engineer, func(b ShimPoint) reduce.Length { return b.Amount }), gap)
		if h.once("caution.gap") {
			add("caution.gap", gap)
		}
	}
	if len(t.grind) > 0 {
		add("shims.grind", h.points(t.grind, ShimPoint.Ground))
		if h.once("caution.dust") {
			add("caution.dust")
		}
	}
	if len(t.high) > 0 {
		add("shims.high", h.list(t.high))
	}
	if len(t.heard) > 0 {
		add("shims.heard", h.list(t.heard))
	}
	if len(t.unread) > 0 {
		add("shims.missing", h.list(t.unread))
	}
	if t.left+t.set > 0 && p.Grout.IsPositive() {
		wide, holds, bag := v.SayMeasure(h.lang, p.PlateWidth), v.SayVolume(h.lang, p.Grout), v.SayVolume(h.lang, millilitres(p.Bag))
		switch first := h.once("grout"); {
		case !first:
			add("shims.grout.again", holds, p.Bags, bag)
		case p.BagOurs:
			add("shims.grout.ours", wide, holds, reduce.DefaultGroutWaste, p.Bags, bag)
		default:
			add("shims.grout", wide, holds, reduce.DefaultGroutWaste, p.Bags, bag)
		}
	}
	return lines
}

// onHand is a stock without the sizes of which nothing is left.
func (h *hearing) onHand(v View, stock []reduce.Shim) string {
	left := slices.DeleteFunc(slices.Clone(stock), func(s reduce.Shim) bool { return !s.Plenty && s.Count == 0 })
	if len(left) == 0 {
		return h.say("stock.none")
	}
	return v.SayShims(h.lang, left)
}

// outs names points at which shims are to be taken out.
func (h *hearing) outs(v View, all []ShimPoint) string {
	var out []string
	for _, b := range all {
		out = append(out, h.spotName(b)+" "+h.say("shims.out.of", h.amount(b.Out), v.SayLaid(h.lang, b.Lies, b.Pieces)))
	}
	return h.shortly(out)
}

// takeOut says how much of what lies at a spot is to be taken out.
func (h *hearing) takeOut(v View, out, lies reduce.Length, pieces []reduce.Length) string {
	return h.say("shim.out.of", h.amount(out), v.SayLaid(h.lang, lies, pieces))
}

// outsideLine says which points the sizes on hand leave out of tolerance.
func (h *hearing) outsideLine(t tallied) string {
	var out []string
	for _, b := range t.outside {
		out = append(out, h.spotName(b)+" "+h.sided(b.Target+b.Fit.Over()))
	}
	return h.say("shims.outside", len(out), h.shortly(out))
}

// shortly lists names, shortened where they are many.
func (h *hearing) shortly(names []string) string {
	return strings.Join(shorten(names, maxListed, func(n int) string { return h.say("more", n) }), ", ")
}

// shortLines say how far the shims on hand go.
func (h *hearing) shortLines(v View, p *ShimPlan) []string {
	if p.Dealt.Made == p.Dealt.Wanted {
		return nil
	}
	lines := []string{h.say("shims.short", p.Dealt.Wanted-p.Dealt.Made, v.SayShims(h.lang, p.Dealt.Lack))}
	// A bound that lets every point be made says nothing.
	if more := p.Dealt.AtMost - p.Dealt.Made; more > 0 && p.Dealt.AtMost < p.Dealt.Wanted {
		lines = append(lines, h.say("shims.atmost", more))
	}
	return lines
}

// points names points with an amount of each.
func (h *hearing) points(all []ShimPoint, amount func(ShimPoint) reduce.Length) string {
	var out []string
	for _, b := range all {
		out = append(out, h.spotName(b)+" "+h.amount(amount(b)))
	}
	return h.shortly(out)
}

// maxListLines bounds a list of shims in one message.
const maxListLines = 60

// shimList lists what is to be laid where, and what was, point by point along
// the walls: of one wall, or of all. Points next to each other that get the same
// are one line.
func (h *hearing) shimList(v View, p *ShimPlan, wall reduce.Station) []string {
	var lines []string
	head := reduce.Station{}
	for i := 0; i < len(p.Points); i++ {
		b := p.Points[i]
		s := b.Station
		what := h.listed(v, b)
		if !wall.IsZero() && (s.Kind != wall.Kind || s.Number != wall.Number) || what == "" {
			continue
		}
		own := reduce.Corner(s.Number)
		if s.Kind == reduce.Pier {
			own = reduce.PierNumber(1)
		}
		if own != head && wall.IsZero() && !h.job.Outline.Empty() {
			head = own
			if s.Kind == reduce.Pier {
				lines = append(lines, h.say("shims.piers"))
			} else {
				lines = append(lines, h.say("shims.wall", h.name(head)))
			}
		}
		last := i
		for last+1 < len(p.Points) && p.Points[last+1].Station.Kind == s.Kind &&
			(p.Points[last+1].Station.Number == s.Number || s.Kind == reduce.Pier) && h.listed(v, p.Points[last+1]) == what {
			last++
		}
		lines = append(lines, h.say("shims.line", h.listName(b, p.Points[last], last-i+1), what))
		i = last
	}
	if len(lines) == 0 {
		if wall.IsZero() {
			return h.planLines(v, p)
		}
		return []string{h.say("shims.list.nothing", h.name(wall))}
	}
	if n := len(lines); n > maxListLines {
		lines = append(lines[:maxListLines-1], h.say("shims.list.more", n-maxListLines+1))
	}
	return lines
}

// listed says what is to be done at a point, or was; "" where nothing is.
func (h *hearing) listed(v View, b ShimPoint) string {
	switch {
	case b.Set && b.Lies == 0:
		return h.say("shims.line.gone")
	case b.Set:
		return h.say("shims.line.set", v.SayLaid(h.lang, b.Lies, b.Pieces))
	case b.Out > 0:
		return h.takeOut(v, b.Out, b.Lies, b.Pieces)
	case b.Left() && b.Short:
		return h.say("shims.line.short", h.lay(v, b))
	case b.Left():
		return h.lay(v, b)
	case b.Lies != 0:
		return h.say("shims.line.lies", v.SayLaid(h.lang, b.Lies, b.Pieces))
	}
	return ""
}

// lay says what is to be laid at a point, on what lies there.
func (h *hearing) lay(v View, b ShimPoint) string {
	stack := v.SayStack(h.lang, b.Fit.Stack)
	if b.Lies == 0 {
		return stack
	}
	return h.say("shims.line.add", stack, v.SayLaid(h.lang, b.Lies, b.Pieces))
}

// listName is the name of one point, or of so many from one to another.
func (h *hearing) listName(from, to ShimPoint, n int) string {
	switch {
	case n == 2:
		return h.say("shims.pair", h.spotName(from), h.spotName(to))
	case n > 2:
		return h.say("shims.run", h.spotName(from), h.spotName(to), n)
	}
	return h.spotName(from)
}
