package session

import "strings"

// sayWork says, once a datum is known, what was done and what is still to be
// done until the job can be signed off.
func (v View) sayWork(lang string) []string {
	p, ok := v.ShimPlan()
	if !ok {
		return nil
	}
	j, next := v.Job, v.coming()
	var lines []string
	if laid := j.Laid(); len(laid) > 0 {
		lines = append(lines, Say(lang, "paper.sum.done", len(laid)))
	}
	t := p.tally(v)
	var left []string
	switch next.what {
	case comesPlate, comesBolts, comesSign:
		return append(lines, Say(lang, "paper.sum.remains", Say(lang, "paper.sum.to-sign")))
	case comesRead:
		return append(lines, Say(lang, "paper.sum.remains", Say(lang, "paper.sum.to-plate", next.n, v.SayStations(lang, next.at))))
	case comesTie:
		return append(lines, Say(lang, "paper.sum.remains", Say(lang, "paper.sum.to-tie", next.n, v.SayStations(lang, next.at))))
	case comesHeard:
		return append(lines, Say(lang, "paper.sum.remains", Say(lang, "paper.sum.to-confirm", next.n, v.SayStations(lang, next.at))))
	case comesThick:
		return append(lines, Say(lang, "paper.sum.remains", Say(lang, "paper.sum.to-thick")))
	case comesUnread:
		left = append(left, Say(lang, "paper.sum.to-walk", next.n))
	case "", comesHeights, comesWalk, comesLevel, comesShims, comesRound, comesOut:
	}
	for _, k := range []struct {
		key Key
		n   int
	}{
		{"paper.sum.to-shim", t.left}, {"paper.sum.to-out", len(t.out)}, {"paper.sum.to-grind", len(t.grind)}, {"paper.sum.to-ask", len(t.engineer)},
		{"paper.sum.to-read", len(v.touched())},
	} {
		if k.n > 0 {
			left = append(left, Say(lang, k.key, k.n))
		}
	}
	if len(left) > 0 {
		lines = append(lines, Say(lang, "paper.sum.remains", strings.Join(left, ", ")))
	}
	return lines
}
