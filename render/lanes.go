package render

import "math"

// most marks past which leaders are led.
const maxDodged = 400

// dodge moves the lanes of leaders that would run over other marks aside, to
// where they run past them, as far as there is such a place near.
func (p *plan) dodge() {
	if len(p.at) > maxDodged {
		return
	}
	for i := range p.labels {
		l := &p.labels[i]
		if l.side == sideNone || !p.overMark(l, l.base) {
			continue
		}
		for k := range 8 {
			away := p.radius[l.mark] + 6 + laneGap*float64(k/2)
			if k%2 > 0 {
				away = -away
			}
			if c := l.base + away; !p.laneTaken(l, c) && !p.overMark(l, c) {
				l.base = c
				break
			}
		}
	}
}

// laneTaken says whether another leader of the same rail would like to run in
// a lane.
func (p *plan) laneTaken(l *label, lane float64) bool {
	for i := range p.labels {
		o := &p.labels[i]
		if o != l && o.side == l.side && math.Abs(o.base-lane) < laneGap {
			return true
		}
	}
	return false
}

// overMark says whether a label's leader runs over another mark where it goes
// to a lane and along it to the plan's edge.
func (p *plan) overMark(l *label, lane float64) bool {
	q := p.px[l.mark]
	turn, end := Pt{lane, q.Y}, Pt{lane, p.origin.Y}
	switch l.side {
	case sideBottom:
		end.Y += (p.ext.Y1 - p.ext.Y0) * p.scale
	case sideLeft:
		turn, end = Pt{q.X, lane}, Pt{p.origin.X, lane}
	case sideRight:
		turn, end = Pt{q.X, lane}, Pt{p.origin.X + (p.ext.X1-p.ext.X0)*p.scale, lane}
	case sideTop, sideNone:
	}
	jog, run := bounds([]Pt{q, turn}, 0), bounds([]Pt{turn, end}, 0)
	for i, m := range p.px {
		if d := p.radius[i] + 2; i != l.mark && (apart(jog, m) < d || apart(run, m) < d) {
			return true
		}
	}
	return false
}
