package report

import (
	"rodcall/render"
	"rodcall/session"
)

// shims is the plan of the shims, what it comes to, and a list of the spots at
// which something is still to be done, or is no matter of shims; and the record
// of what lies where.
func (p *paper) shims() {
	plan, ok := p.v.ShimPlan()
	laid := p.job.Laid()
	if !ok && len(laid) == 0 {
		return
	}
	p.heading("papers.shims")
	if ok {
		p.text(p.v.SayShimPlan(p.lang, plan)...)
		p.toShim(plan)
	}
	if len(laid) == 0 {
		return
	}
	t := &render.Table{
		Head:  []string{p.say("papers.col.spot"), p.say("papers.col.laid"), p.say("papers.col.pieces")},
		Right: []bool{false, true, false}, LeftOut: p.say("papers.shims.left"),
	}
	for _, l := range laid {
		t.Rows = append(t.Rows, render.Row{
			Cells:  []string{session.SaySpot(p.lang, p.job, l.Station), session.SayAmount(p.lang, p.job, l.Amount), p.v.SayStack(p.lang, l.Pieces)},
			Weight: int64(l.Amount.Abs()),
		})
	}
	p.text(p.say("papers.laid", len(laid)))
	p.add(t)
}

// toShim lists the spots at which something is still to be done.
func (p *paper) toShim(plan session.ShimPlan) {
	t := &render.Table{
		Head: []string{
			p.say("papers.col.spot"), p.say("papers.col.raise"), p.say("papers.col.shims"), p.say("papers.col.hand"),
		},
		Right: []bool{false, true, false, false}, LeftOut: p.say("papers.shims.left"),
	}
	for _, b := range plan.Points {
		amount, what, hand := b.Missing(), p.v.SayStack(p.lang, b.Fit.Stack), ""
		switch {
		case b.Set || !b.Known:
			continue
		case b.Engineer:
			what = p.say("papers.engineer")
		case b.Out > 0:
			amount, what = b.Out, p.say("papers.out")
		case b.Ground() > 0 && !p.v.SameLevel(b.Ground()):
			amount, what = b.Ground(), p.say("papers.grind")
			if p.stays(b.Ground()) {
				what = p.say("paper.stays")
			}
		case !b.Left():
			continue
		case b.Short:
			hand = p.say("papers.short")
		}
		t.Rows = append(t.Rows, render.Row{
			Cells:  []string{session.SaySpot(p.lang, p.job, b.Station), session.SayAmount(p.lang, p.job, amount), what, hand},
			Weight: int64(amount.Abs()),
		})
	}
	if len(t.Rows) > 0 {
		p.add(t)
	}
}
