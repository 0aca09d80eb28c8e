package session

import (
	"slices"

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
	a := answer{lines: []string{h.say("stock", h.onHand(v, h.job.stockLeft()))}, next: true}
	p, planned := v.ShimPlan()
	a.lines = append(a.lines, h.notMade(v)...)
	switch {
	case !planned || p.Dealt.Wanted == 0:
	case p.Dealt.Made < p.Dealt.Wanted:
		a.lines = append(a.lines, h.shortLines(v, &p)...)
	case len(p.tally(v).outside) == 0:
		a.lines = append(a.lines, h.say("stock.enough", p.Dealt.Made, p.Dealt.Pieces))
	}
	return a
}

// notMade says which of the amounts that are planned the shims on hand do not
// make, and which points they leave out of tolerance; before there is a plan,
// whether they make the finest amount.
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
	var missing []reduce.Length
	p, planned := v.ShimPlan()
	if planned {
		for _, b := range p.Points {
			if l := b.Missing().RoundTo(h.job.Finest); b.Known && !b.Engineer && !b.Set && l > 0 && stacker.Fit(l).Coarse(h.job.Finest) {
				missing = append(missing, l)
			}
		}
		slices.Sort(missing)
		missing = slices.Compact(missing)
	} else if missing = stacker.Missing(h.job.PlateOptions().Gap); len(missing) > 0 && missing[0] > h.job.Finest {
		missing = nil // too thick a stack is none that anybody needs yet
	}
	var lines []string
	if len(missing) > 0 {
		var out []string
		for _, l := range missing {
			out = append(out, h.amount(l))
		}
		lines = []string{h.say("stock.missing", h.shortly(out))}
	}
	if t := p.tally(v); planned && len(t.outside) > 0 {
		lines = append(lines, h.outsideLine(t))
	}
	return lines
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
