package report

import (
	"rodcall/render"
	"rodcall/session"
)

// shims is the plan of the shims: what it comes to, and a list of the spots at
// which something is laid, or is no matter of shims. A spot done is marked.
func (p *paper) shims() {
	plan, ok := p.v.ShimPlan()
	if !ok {
		return
	}
	t := &render.Table{
		Head: []string{
			p.say("papers.col.spot"), p.say("papers.col.raise"), p.say("papers.col.shims"), p.say("papers.col.done"),
		},
		Right: []bool{false, true, false, false}, LeftOut: p.say("papers.shims.left"),
	}
	for _, b := range plan.Points {
		amount, laid, done := b.Amount, p.v.SayStack(p.lang, b.Stack()), ""
		switch {
		case b.Set:
			amount, done = b.Laid, p.say("papers.checked")
		case !b.Known:
			continue
		case b.Engineer:
			laid = p.say("papers.engineer")
		case b.Amount < 0 && !p.v.SameLevel(b.Amount):
			laid = p.say("papers.grind")
			if p.stays(-b.Amount) {
				laid = p.say("paper.stays")
			}
		case !b.Left():
			continue
		case b.Short:
			done = p.say("papers.short")
		}
		t.Rows = append(t.Rows, render.Row{
			Cells:  []string{b.Name, session.SayAmount(p.lang, p.job, amount), laid, done},
			Weight: int64(amount.Abs()),
		})
	}
	p.heading("papers.shims")
	p.text(p.v.SayShimPlan(p.lang, plan)...)
	if len(t.Rows) > 0 {
		p.add(t)
	}
}
