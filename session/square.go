package session

import (
	"strings"

	"rodcall/reduce"
)

// tapeShould says what a tape should show from corner to corner where the walls
// are as they were told; or what is missing to say that.
func (h *hearing) tapeShould() []string {
	if h.job.Outline.Empty() {
		return []string{h.say("new.outline")}
	}
	var all []string
	for _, d := range h.job.Outline.Diagonals() {
		all = append(all, h.say("square.diagonal", h.name(d.From), h.name(d.To), h.rodText(Rod{Rod: reduce.Rod{Kind: reduce.Standard}}, d.Length)))
	}
	if len(all) == 0 {
		return []string{h.say("square.none")}
	}
	return []string{h.say("square.tape", strings.Join(shorten(all, maxListed, func(n int) string { return h.say("more", n) }), ", "))}
}
