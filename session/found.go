package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// AsFound is the job as it was found: what the first round read on concrete
// where no shim was set yet, without a datum and what was decided or read
// later. It is nil where nothing was read so. The job itself stays as it is.
func (j *Job) AsFound() *Job {
	first := j.rounds()[0]
	if first.Surface != "concrete" {
		return nil
	}
	found := *j
	found.Datum, found.Signed, found.Superseded = nil, nil, nil
	found.Shimmed, found.Past, found.Walk, found.Hang = nil, nil, nil, nil
	found.Round, found.RoundEnded, found.Surface, found.BoltsTight = first.Round, true, first.Surface, first.Tight
	found.hist, found.slots, found.empty = newHistory(nil), map[slot]uint64{}, map[slot]bool{}
	found.memo, found.basis = nil, &basis{}
	for _, r := range j.hist.all() {
		if r.Round != first.Round || j.raisedBefore(r.Station, j.hist.took(r)) {
			continue
		}
		k := r.slot()
		r.prev = found.slots[k]
		found.hist.add(r)
		found.slots[k] = r.Seq
	}
	for k := range found.slots {
		found.noteEmpty(k)
	}
	if len(found.readNow()) == 0 {
		return nil
	}
	return &found
}

// raisedBefore says whether shims were set at a station before an event.
func (j *Job) raisedBefore(s reduce.Station, seq uint64) bool {
	return slices.ContainsFunc(j.Shimmed, func(k ShimsSet) bool {
		return k.Seq < seq && slices.ContainsFunc(k.Spots, func(at ShimSet) bool { return j.resolve(at.Station) == s })
	})
}

// SayFound tells, of a job as found, how far out it was found, a line each.
func (v View) SayFound(lang string) []string {
	readings := v.Job.present()
	if len(readings) == 0 {
		return nil
	}
	day := func(r Reading) string { return r.At.UTC().Format("2006-01-02") }
	when := day(readings[0])
	if last := day(readings[len(readings)-1]); last != when {
		when = Say(lang, "papers.from-to", when, last)
	}
	lines := []string{Say(lang, "found.when", when, v.SayReference(lang))}
	lines = append(lines, strings.Split(v.Summary(lang), "\n")...)
	return append(lines, Say(lang, "found.no-more"))
}

// asFound tells how the foundation was found, and sends the page of it.
func (h *hearing) asFound(phrase.Meaning) answer {
	found := h.job.AsFound()
	if found == nil {
		first := h.job.rounds()[0]
		if first.Surface != "concrete" {
			return answer{lines: []string{h.say("found.surface", h.say(Key("paper.surface."+first.Surface)))}}
		}
		return answer{lines: []string{h.say("found.nothing", h.name(h.job.Reference))}, next: true}
	}
	return answer{lines: found.View().SayFound(h.lang), figures: []PictureKind{PaperFound}}
}

// papers sends the job's papers.
func (h *hearing) papers(phrase.Meaning) answer {
	if len(h.job.slots) == 0 && h.job.Outline.Empty() {
		return answer{lines: []string{h.say("papers.nothing", h.name(h.job.Reference))}, next: true}
	}
	return answer{figures: []PictureKind{PaperWhole}}
}
