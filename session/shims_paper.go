package session

// SayShimPlan says what the plate needs as the chat does, a line each, without
// what is asked and the cautions.
func (v View) SayShimPlan(lang string, p ShimPlan) []string {
	h := &hearing{job: v.Job, lang: lang}
	h.once("caution.gap")
	h.once("caution.dust")
	lines := h.planLines(v, &p)
	sizes := v.sizes(lang, p.Stock)
	for i, asked := range lines {
		if p.StockOurs && asked == Say(lang, "shims.ours", sizes, p.Most) {
			lines[i] = Say(lang, "papers.shims.ours", sizes, p.Most)
		}
	}
	return lines
}
