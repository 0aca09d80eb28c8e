package session

import (
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// stock says what shims are on hand, or is told of them.
func (h *hearing) stock(m phrase.Meaning) answer {
	arg, told := m.Arg.(phrase.StockArg)
	if told {
		h.emit(StockSet{Sizes: arg.Sizes, Clear: arg.Clear})
	}
	v := h.job.View()
	if h.job.Stock == nil {
		return answer{lines: []string{h.say("stock.ours", v.sizes(h.lang, h.job.stock()))}, next: true}
	}
	a := answer{lines: []string{h.say("stock", v.SayShims(h.lang, h.job.stockLeft()))}, next: true}
	p, planned := v.ShimPlan()
	a.lines = append(a.lines, h.notMade(v)...)
	switch {
	case !planned || p.Dealt.Wanted == 0:
	case p.Dealt.Made < p.Dealt.Wanted:
		a.lines = append(a.lines, h.shortLines(v, &p)...)
	default:
		a.lines = append(a.lines, h.say("stock.enough", p.Dealt.Made, p.Dealt.Pieces))
	}
	return a
}

// notMade says which amounts the shims on hand do not make: up to the largest
// that is planned, else up to what is still a shim.
func (h *hearing) notMade(v View) []string {
	var sizes []reduce.Length
	for _, s := range h.job.stock() {
		sizes = append(sizes, s.Size)
	}
	most, _ := h.job.count(FigureStackMost, reduce.DefaultStack)
	stacker, err := reduce.NewStacker(sizes, int(most), h.job.Finest)
	if err != nil {
		return nil
	}
	upTo := h.job.PlateOptions().Gap
	if plate, ok := v.PlatePlan(); ok {
		upTo = 0
		for _, b := range plate.Points {
			if b.Known && !b.Engineer {
				upTo = max(upTo, b.Amount.RoundTo(h.job.Finest))
			}
		}
	}
	var out []string
	for _, l := range stacker.Missing(upTo) {
		out = append(out, h.amount(l))
	}
	if len(out) == 0 {
		return nil
	}
	return []string{h.say("stock.missing", strings.Join(shorten(out, maxListed, func(n int) string { return h.say("more", n) }), ", "))}
}

// countFigure sets a figure that counts something, or makes it ours again.
func (h *hearing) countFigure(m phrase.Meaning, what PlanFigure, ours int64, said, saidOurs Key) answer {
	arg, ok := m.Arg.(phrase.CountArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: what, Count: arg.Count, Clear: arg.Clear})
	n, isOurs := h.job.count(what, ours)
	if isOurs {
		said = saidOurs
	}
	return answer{lines: []string{h.say(said, n)}, next: true}
}

func (h *hearing) stackMost(m phrase.Meaning) answer {
	a := h.countFigure(m, FigureStackMost, reduce.DefaultStack, "stack", "stack.ours")
	a.lines = append(a.lines, h.notMade(h.job.View())...)
	return a
}

func (h *hearing) spares(m phrase.Meaning) answer {
	return h.countFigure(m, FigureSpares, reduce.DefaultSpares, "spares", "spares.ours")
}

// grout says what a bag of grout makes.
func (h *hearing) grout(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.BagArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: FigureGrout, Count: arg.Millilitres, Clear: arg.Clear})
	bag, ours := h.job.bag()
	key := Key("grout")
	if ours {
		key = "grout.ours"
	}
	return answer{lines: []string{h.say(key, View{Job: h.job}.SayVolume(h.lang, millilitres(bag)))}, next: true}
}

// bag is how many millilitres a bag of grout makes.
func (j *Job) bag() (n int64, isOurs bool) {
	if j.Unit == reduce.UnitMillimetre {
		return j.count(FigureGrout, reduce.DefaultBagMetric)
	}
	return j.count(FigureGrout, reduce.DefaultBag)
}

// plateWidth says how wide the plate is.
func (h *hearing) plateWidth(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.LengthArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: FigurePlateWidth, Length: arg.Length})
	return answer{lines: []string{h.say("plate.width", h.measure(arg.Length))}, next: true}
}
