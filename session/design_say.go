package session

import (
	"strings"

	"rodcall/reduce"
)

// SayDesign is a design height in words: "8 in lower"; "" for level.
func (v View) SayDesign(lang string, d reduce.Length) string {
	switch {
	case d < 0:
		return Say(lang, "design.lower", v.SayMeasure(lang, -d))
	case d > 0:
		return Say(lang, "design.higher", v.SayMeasure(lang, d))
	}
	return ""
}

// SayPart is a step or a fall in words: "c5 to c8: 8 in lower", "c3 to c4: falls
// 3 1/2 in over 28 ft".
func (v View) SayPart(lang string, b DesignSet) string {
	j := v.Job
	what := v.SayDesign(lang, b.Rise)
	if what == "" {
		what = Say(lang, "design.same", v.SayReference(lang))
	}
	if b.Fall {
		p := j.part(b)
		fall, run := -b.Rise, b.Run
		if far, ok := j.Outline.AlongWall(p.From, p.To); ok {
			fall, run = p.Over(far), far
		}
		what = Say(lang, "design.falls", v.SayMeasure(lang, fall), v.SayDistance(lang, run))
	}
	return Say(lang, "design.part", v.sayEnds(lang, b), what)
}

// sayEnds names the stretch of a step or a fall: "c5 to c8", "c3+8", "garage".
func (v View) sayEnds(lang string, b DesignSet) string {
	j := v.Job
	from, to := j.resolve(b.From), j.resolve(b.To)
	switch {
	case b.Loop:
		if _, loop, ok := j.Outline.Position(from); ok {
			return SayLoop(lang, loop)
		}
		return SayStation(lang, j, from)
	case from == to:
		return SayStation(lang, j, from)
	}
	return Say(lang, "design.range", SayStation(lang, j, from), SayStation(lang, j, to))
}

// SayDesigns lists the job's steps and falls: "c5 to c8: 8 in lower; p1: 4 in
// lower". It is "" where all is level.
func (v View) SayDesigns(lang string) string {
	var out []string
	for _, b := range v.Job.Design {
		out = append(out, v.SayPart(lang, b))
	}
	return strings.Join(shorten(out, maxListed, func(n int) string { return Say(lang, "more", n) }), "; ")
}

// SaySections says how level each section is within itself, and how each step
// came out; nothing where there is one section.
func (v View) SaySections(lang string) []string {
	var lines, each []string
	more := func(n int) string { return Say(lang, "more", n) }
	parts := v.Job.parts()
	for _, s := range v.Sections {
		name := Say(lang, "section.none", v.SayReference(lang))
		if s.Part >= 0 {
			name = v.sayEnds(lang, parts[s.Part])
		}
		each = append(each, Say(lang, "sections.one", name, v.SayMeasure(lang, s.Extent.Range)))
	}
	if len(each) > 0 {
		lines = append(lines, Say(lang, "sections", strings.Join(shorten(each, maxListed, more), ", ")))
	}
	each = nil
	for _, s := range v.Steps {
		if s.Off != nil {
			each = append(each, v.sayStep(lang, s))
		}
	}
	if len(each) > 0 {
		key := Key("steps.measured")
		if _, set := v.Job.figure(FigureStepTolerance); !set && !v.Job.ToleranceSet {
			key = "steps.measured.ours"
		}
		lines = append(lines, Say(lang, key, v.SayMeasure(lang, v.Job.StepTolerance()), strings.Join(shorten(each, maxListed, more), ", ")))
	}
	return lines
}

// sayStep says how a step came out: "c5 8 1/16 for 8 in, on".
func (v View) sayStep(lang string, s StepView) string {
	verdict := Say(lang, "steps.on")
	more := (*s.Off < 0) == (s.Rise < 0)
	switch {
	case s.Verdict == reduce.Unsure:
		verdict = Say(lang, "steps.unsure")
	case s.Verdict == reduce.On:
	case more:
		verdict = Say(lang, "steps.more", SayAmount(lang, v.Job, *s.Off))
	default:
		verdict = Say(lang, "steps.less", SayAmount(lang, v.Job, *s.Off))
	}
	at := SayStation(lang, v.Job, s.At)
	if s.A.At(0) != s.At || s.B.At(0) != s.At {
		at = Say(lang, "steps.at", at, SayStation(lang, v.Job, s.A), SayStation(lang, v.Job, s.B))
	}
	return Say(lang, "steps.one", at, SayAmount(lang, v.Job, s.Rise+*s.Off), v.SayMeasure(lang, s.Rise.Abs()), verdict)
}

// heightAt is a height of a station above the reference, less its design: "3/8
// low".
func (h *hearing) heightAt(s reduce.Station, e reduce.Length) string {
	return h.height(e - h.job.design.At(s))
}

// of is what a station's height is of: "c1", "c1, 8 in lower by design".
func (h *hearing) of(s reduce.Station) string {
	ref := h.name(h.job.resolve(h.job.Reference))
	if d := h.job.design.At(s); d != 0 {
		return h.say("design.of", ref, View{Job: h.job}.SayDesign(h.lang, d))
	}
	return ref
}
