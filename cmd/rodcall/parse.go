package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/phrase"
)

func runParse(ctx context.Context, s streams, args []string) error {
	f := newFlags("parse")
	job := jobFlags(f)
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	c, err := job.context()
	if err != nil {
		return err
	}
	return parseLines(ctx, s, c)
}

// jobOf are the flags that say what job a message is read against.
type jobOf struct {
	f                              *flags
	walls, rod, unit, asked, count *string
	piers                          *[]string
}

func jobFlags(f *flags) jobOf {
	return jobOf{f, f.text("job-outline", ""), f.text("rod", "direct"), f.text("unit", "in"), f.text("asked", "c1"), f.text("count", ""), f.list("pier")}
}

// context is the job that the flags say.
func (j jobOf) context() (phrase.Context, error) {
	c, command := phrase.Context{}, "rodcall "+j.f.command
	if err := c.Rod.UnmarshalText([]byte(*j.rod)); err != nil {
		return c, wrongly(command+" --rod standard", "--rod: %w", err)
	}
	if err := c.Unit.UnmarshalText([]byte(*j.unit)); err != nil {
		return c, wrongly(command+" --unit mm", "--unit: %w", err)
	}
	switch *j.count {
	case "":
	case "8", "16":
		c.Count, _ = strconv.Atoi(*j.count)
	default:
		return c, wrongly(command+" --count 16", "--count %q: want 8 or 16", *j.count)
	}
	outline, err := outlineOf(*j.walls, &c, j.f.given("unit"))
	if err != nil {
		return c, err
	}
	c.Finest = c.Unit.Finest()
	if outline, err = withPiers(outline, *j.piers); err != nil {
		return c, err
	}
	c.Outline = &outline
	c.Asked, err = stationOf(&outline, *j.asked)
	return c, err
}

// outlineOf reads walls as a message would say them; without any, the outline
// is empty. As in a job, walls in metres make a unit that nobody chose metric.
func outlineOf(walls string, c *phrase.Context, unitChosen bool) (reduce.Outline, error) {
	o := reduce.Outline{Grid: reduce.GridFor(c.Unit)}
	if strings.TrimSpace(walls) == "" {
		return o, nil
	}
	const hint = "an outline that works: rodcall parse --job-outline 40x28"
	m := phrase.Parse(phrase.Context{Rod: c.Rod, Unit: c.Unit, Finest: c.Unit.Finest(), Outline: &o}, walls)
	w, ok := m.Arg.(phrase.Walls)
	switch {
	case m.Kind == phrase.Command && m.Command == phrase.CmdOutline && ok:
	case m.Kind == phrase.Ask || m.Kind == phrase.Refuse:
		return o, wrongly(hint, "--job-outline %q: %s", walls, clause(reason(m)))
	default:
		return o, wrongly(hint, "--job-outline %q is not an outline", walls)
	}
	if w.Metric && !unitChosen {
		c.Unit = reduce.UnitMillimetre
		o.Grid = reduce.GridFor(c.Unit)
	}
	o, err := o.WithLoop("", reduce.Point{}, w.Legs)
	if err != nil {
		return o, wrongly(hint, "--job-outline %q: %w", walls, err)
	}
	return o, nil
}

// clause is a sentence as part of an error: without a capital and a full stop.
func clause(sentence string) string {
	first, size := utf8.DecodeRuneInString(sentence)
	return strings.TrimSuffix(string(unicode.ToLower(first))+sentence[size:], ".")
}

// withPiers gives the outline the piers up to the highest one named. Where
// they stand has no bearing on what a message means: they stand in a row.
func withPiers(o reduce.Outline, names []string) (reduce.Outline, error) {
	const hint = "a pier that works: rodcall parse --job-outline 40x28 --pier p1"
	most := 0
	for _, name := range names {
		s, err := reduce.ParseStation(name, o.Grid.Mark)
		if err != nil || s.Kind != reduce.Pier {
			return o, wrongly(hint, "--pier %q is not a pier", name)
		}
		most = max(most, s.Number)
	}
	if most == 0 {
		return o, nil
	}
	if most > reduce.MaxStations {
		return o, wrongly(hint, "--pier p%d is past the last pier there can be, p%d", most, reduce.MaxStations)
	}
	at := make([]reduce.Point, most)
	for i := range at {
		at[i] = reduce.Point{X: reduce.Length(i+1) * o.Grid.Mark, Y: o.Grid.Mark}
	}
	o, err := o.WithPiers(at)
	if err != nil {
		return o, wrongly(hint, "--pier: %w", err)
	}
	return o, nil
}

// stationOf reads the full name of a station that the outline has.
func stationOf(o *reduce.Outline, name string) (reduce.Station, error) {
	const hint = "a station that works: rodcall parse --job-outline 40x28 --asked c1+8"
	s, err := reduce.ParseStation(name, o.Grid.Mark)
	if err != nil {
		return s, wrongly(hint, "--asked %q is not a station", name)
	}
	at, err := o.Resolve(s)
	var none *reduce.NoStationError
	switch {
	case errors.As(err, &none) && none.Wall > 0:
		return s, wrongly(hint, "--asked %s is past the end of its wall, which is %s long", name, none.Wall.Decimal(o.Grid.Mark))
	case err != nil:
		return s, wrongly(hint, "--asked %s is not on the outline", name)
	}
	return at, nil
}

// parsed is one line of the output.
type parsed struct {
	Said    string   `json:"said"`
	Meaning string   `json:"meaning"`
	Station *string  `json:"station"`
	Value   *string  `json:"value"`
	Command *string  `json:"command"`
	Why     *string  `json:"why"`
	Answers []string `json:"answers"`
}

// parseLines answers each line of the input with one object.
func parseLines(ctx context.Context, s streams, c phrase.Context) error {
	in := bufio.NewReader(s.in)
	out := json.NewEncoder(s.out)
	out.SetEscapeHTML(false)
	for ctx.Err() == nil {
		line, err := in.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return fmt.Errorf("read messages: %w", err)
		}
		if err != nil && line == "" {
			return nil
		}
		m := phrase.Parse(c, strings.TrimRight(line, "\r\n"))
		if err := out.Encode(asJSON(m, c.Outline.Grid.Mark)); err != nil {
			return fmt.Errorf("write: %w", err)
		}
	}
	return ctx.Err()
}

// asJSON is a meaning as the outside sees it; mark is what c3+8 counts in.
func asJSON(m phrase.Meaning, mark reduce.Length) parsed {
	p := parsed{Said: m.Said, Answers: m.Answers}
	if p.Answers == nil {
		p.Answers = []string{}
	}
	station := m.Station
	switch m.Kind {
	case phrase.Reading:
		p.Meaning = "reading"
		value := m.Value.String()
		p.Value = &value
	case phrase.Command:
		p.Meaning = "command"
		name := string(m.Command)
		p.Command = &name
		station = argStation(m.Arg)
	case phrase.Ask, phrase.Refuse:
		p.Meaning = "refuse"
		if m.Kind == phrase.Ask {
			p.Meaning = "ask"
		}
		why := reason(m)
		p.Why = &why
	default:
		// Parse has no other kinds; a fault of this program.
		p.Meaning = "kind " + strconv.Itoa(int(m.Kind))
	}
	if !station.IsZero() {
		name := station.Name(mark)
		p.Station = &name
	}
	return p
}

// argStation is the station that a command speaks of, zero where it speaks of
// none.
func argStation(a phrase.Arg) reduce.Station {
	switch a := a.(type) {
	case phrase.StationArg:
		return a.Station
	case phrase.ReadingArg:
		return a.Station
	case phrase.ShimmedArg:
		if len(a.Stations) > 0 {
			return a.Stations[0]
		}
	case phrase.DatumArg:
		return a.Station
	}
	return reduce.Station{}
}

// reason is the English sentence that says why a line is asked back or refused.
func reason(m phrase.Meaning) string {
	args := make([]any, len(m.Why.Args))
	for i, a := range m.Why.Args {
		args[i] = a
	}
	return session.Say("en", session.Key("why."+string(m.Why.Code)), args...)
}
