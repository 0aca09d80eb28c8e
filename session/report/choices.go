package report

import (
	"fmt"
	"io"
	"slices"
	"time"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// WritePicture writes one of a job's pictures as PNG, or one of its papers as
// PDF.
func WritePicture(w io.Writer, j *session.Job, kind session.PictureKind, lang string, made time.Time, src Sources) error {
	switch kind {
	case session.PaperWhole:
		return WritePDF(w, j, lang, made, src)
	case session.PaperFound:
		return WriteFound(w, j, lang, made, src)
	case session.PictureChoices:
	default:
		return WritePNG(w, j, lang, made, src)
	}
	t := Choices(j, lang, made)
	if head := src.Head.say(lang, j, digitsDrawn); head != "" {
		t.Lines = append(t.Lines, head)
	}
	page, err := render.LayoutTradeoff(&t)
	if err != nil {
		return fmt.Errorf("lay out the choices: %w", err)
	}
	if err := render.WritePNG(w, page); err != nil {
		return fmt.Errorf("write the choices: %w", err)
	}
	return nil
}

// maxSamples bounds the levels of a trade-off's curve between two choices.
const maxSamples = 160

// Choices is the picture of the levels that the job can be built to, as data:
// levels at the job's finest amount, and those offered as they are.
func Choices(j *session.Job, lang string, made time.Time) render.Tradeoff {
	d := drawing{v: j.View(), job: j, lang: lang}
	out := render.Tradeoff{
		Title:    d.say("paper.choices", j.Name),
		Lines:    []string{d.say("paper.choices.made", d.v.Read, made.Format("2006-01-02 15:04 MST")), d.v.SayRules(lang)},
		Work:     d.say("paper.choices.work", d.say("paper.unit."+session.Key(j.Unit.String()))),
		Spots:    d.say("paper.choices.spots"),
		Axis:     d.say("paper.choices.axis", d.v.SayReference(d.lang)),
		ShutText: d.say("paper.choices.shut"),
	}
	if left := d.v.Unweighed(lang); left != "" {
		out.Lines = append(out.Lines, left)
	}
	tops, ok := reduce.NewTops(d.v.Spots)
	if !ok {
		out.Lines = append(out.Lines, d.say("paper.choices.nothing"))
		return out
	}
	rules := j.LevelRules()
	sample := func(l reduce.Length) render.Sample {
		c := tops.At(l, rules)
		return render.Sample{Level: l, Work: c.Work(), Spots: c.Touched()}
	}
	for _, o := range d.v.Offers(lang) {
		cost := d.say("paper.choices.cost", o.Touched(), d.v.SayMeasure(lang, o.Work()))
		if !o.Obeys() {
			cost += ", " + d.say("paper.choices.over")
		}
		out.Choices = append(out.Choices, render.Choice{Sample: sample(o.Level), Name: o.Name, Cost: cost, Shut: !o.Obeys()})
	}

	from, to := d.reach(out.Choices)
	step := j.Finest
	for (to-from)/step > maxSamples {
		step *= 2
	}
	var levels []reduce.Length
	from, to = floor(from, step)*step, -floor(-to, step)*step
	for l := from; l <= to; l += step {
		levels = append(levels, l)
	}
	for _, c := range out.Choices {
		levels = append(levels, c.Level)
	}
	slices.Sort(levels)
	most := 0
	var work reduce.Length
	for _, l := range slices.Compact(levels) {
		s := sample(l)
		out.Samples = append(out.Samples, s)
		work, most = max(work, s.Work), max(most, s.Spots)
	}

	for _, t := range ruled(j.Unit, j.Finest, 0, work) {
		if 0 <= t && t <= work {
			out.WorkTicks = append(out.WorkTicks, render.Tick{Height: t, Text: session.SayAmount(lang, j, t)})
		}
	}
	out.SpotTicks = counts(most)
	out.LevelTicks = d.levelTicks(from, to)
	low, high := tops.Obeying(rules)
	if low > high {
		low = high // no level obeys: all are shut
	}
	if from < low {
		out.Shut = append(out.Shut, render.Span{From: from, To: low})
	}
	if high < to {
		out.Shut = append(out.Shut, render.Span{From: high, To: to})
	}
	return out
}

// reach is from which level to which the curve is drawn: round all choices,
// with room on either side.
func (d *drawing) reach(choices []render.Choice) (from, to reduce.Length) {
	from, to = choices[0].Level, choices[0].Level
	for _, c := range choices {
		from, to = min(from, c.Level), max(to, c.Level)
	}
	room := max((to-from)/5, 2*d.job.Tolerance, 4*d.job.Finest)
	return from - room, to + room
}

// maxLevels bounds the levels that are named under a trade-off.
const maxLevels = 5

// levelTicks are levels that a crew counts in, evenly spaced.
func (d *drawing) levelTicks(from, to reduce.Length) []render.Tick {
	var out []render.Tick
	for step := range steps(d.job.Unit, d.job.Finest) {
		first, last := -floor(-from, step), floor(to, step)
		if last-first >= maxLevels {
			continue
		}
		for n := first; n <= last; n++ {
			out = append(out, render.Tick{Height: n * step, Text: d.v.SayHigh(d.lang, n*step)})
		}
		break
	}
	return out
}

// counts are at most four round numbers from 0 to most.
func counts(most int) []int {
	for step := 1; ; step *= 10 {
		for _, f := range []int{1, 2, 5} {
			if most <= 3*f*step {
				var out []int
				for n := 0; n <= most; n += f * step {
					out = append(out, n)
				}
				return out
			}
		}
	}
}
