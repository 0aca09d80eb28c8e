// Package proof holds the text of a job's papers against the job's export, for
// tests: however the text was read back, it must tell what the export tells.
package proof

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// export is what is read of a job's export.
type export struct {
	Job struct {
		Unit      string
		Finest    string
		Reference string
	}
	Datum    *struct{ Level *string }
	Stations []station
	Summary  struct{ Read, Left int }
	Plan     *struct{ Points []point }
	Notes    []note
	Laid     []struct {
		Name, Amount string
		Pieces       []string
	}
}

type point struct {
	Name        string
	Amount, Out *string
	Stack       []string
	Set         bool
	Engineer    bool
}

// note is a note or a photo; Station is "" where it stands with its station.
type note struct {
	Station, Text string
	Photo         *string
	Round         int
}

type station struct {
	Name, Design               string
	Elevation, Deviation, Move *string
	Band                       *string
	Verdict                    *string
	Checked                    bool
	Rounds                     []struct {
		Round     int
		Elevation *string
	}
	Notes []note
}

// columns of the table of stations as their heads say them, in order; %s is the
// reference. Cells of a round begin with "round ".
var columns = []string{"station", "of %s", "meant to be", "off datum", "good to", "to do", "set since", "checked"}

// Compare holds the text of a job's papers in English, a line a row, against
// its export, JSON of schema 1. Every station stands in a table with the
// export's elevation, deviation, band and move, each to half of the finest
// amount that the job shows, with its verdict and with what its rounds read;
// the list of shims has the export's spots in their order, each with its amount
// and its stack, and the record of what was laid what the export has; each note
// and photo stands with its station, in the export's order; the summary has the
// export's counts. It returns how many stations were found so, and all that
// differs.
func Compare(exported []byte, text string) (found int, err error) {
	var e export
	if err := json.Unmarshal(exported, &e); err != nil {
		return 0, fmt.Errorf("read the export: %w", err)
	}
	c, err := newChecker(e)
	if err != nil {
		return 0, err
	}
	var faults []error
	var head []string
	lists := map[string][]string{} // rows of spots, by the head that they stand under
	listing := ""
	seen := map[string]bool{}
	text, notes, _ := strings.Cut(text, notesHead)
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if h := c.head(line); h != nil || strings.HasPrefix(line, "station ") || line == spotsHead || line == laidHead {
			if head, listing = h, ""; h == nil {
				listing = line
			}
			continue
		}
		if listing != "" && c.spot.MatchString(line) {
			lists[listing] = append(lists[listing], line)
		}
		i := c.named(line)
		if head == nil || i < 0 {
			continue
		}
		name := e.Stations[i].Name
		rest := strings.TrimSpace(strings.TrimPrefix(line, name))
		if seen[name] {
			faults = append(faults, fmt.Errorf("%s stands twice", name))
		}
		seen[name] = true
		if err := c.row(head[1:], rest, e.Stations[i]); err != nil {
			faults = append(faults, fmt.Errorf("%s: %q: %w", name, line, err))
		}
	}
	for _, s := range e.Stations {
		if !seen[s.Name] {
			faults = append(faults, fmt.Errorf("%s is missing", s.Name))
		}
	}
	faults = append(faults, c.shims(lists[spotsHead]), c.record(lists[laidHead]), c.kept(notes))
	if total := fmt.Sprintf("%d of %d station", e.Summary.Read, e.Summary.Read+e.Summary.Left); e.Summary.Left > 0 && !strings.Contains(text, total) {
		faults = append(faults, fmt.Errorf("%q does not stand there", total))
	}
	return len(seen), errors.Join(faults...)
}

// checker knows the job's unit.
type checker struct {
	export
	finest float64        // mm
	side   *regexp.Regexp // a height in words, at the line's beginning
	bare   *regexp.Regexp // an amount
	do     *regexp.Regexp // what is to be done
	spot   *regexp.Regexp // a row of the list of shims
}

// spotsHead is the line of heads of the list of shims.
const spotsHead = "spot by shims on hand"

// laidHead is the line of heads of the record of what was laid.
const laidHead = "spot laid pieces"

// notesHead is the line of heads of the table of notes and photos, which is the
// last.
const notesHead = "station when who round note"

func newChecker(e export) (*checker, error) {
	c := &checker{export: e}
	amount := `(?:\d+ )?\d+/\d+(?: heavy| shy)?|\d+(?: heavy| shy)?`
	unit := 25.4
	switch e.Job.Unit {
	case "ft":
		amount, unit = `\d+(?:\.\d+)? ft`, 304.8
	case "mm":
		amount, unit = `\d+(?:\.\d+)? mm`, 1
	}
	f, err := inUnits(e.Job.Finest)
	if err != nil {
		return nil, fmt.Errorf("the finest amount: %w", err)
	}
	c.finest = f * unit
	c.side = regexp.MustCompile(`^(?:(` + amount + `) (high|low)|(level|on))(?: |$)`)
	c.bare = regexp.MustCompile(`^(` + amount + `)(?: |$)`)
	c.do = regexp.MustCompile(`^(?:(raise|lower|stays high|high|low) (under )?(` + amount + `)|(on|unread|not tied|no beam))(, close call)?(?: |$)`)
	c.spot = regexp.MustCompile(`^([cp]\d\S*(?: \d+/\d+")?(?: (?:top|bottom))?) (` + amount + `)(?: (.*))?$`)
	return c, nil
}

// shims holds the list of shims against the export's plan.
func (c *checker) shims(rows []string) error {
	if c.Plan == nil {
		return nil
	}
	var faults []error
	for _, p := range c.Plan.Points {
		amount, words := p.Amount, c.stack(p.Stack)
		optional := false
		switch {
		case p.Set || amount == nil:
			continue
		case p.Out != nil:
			amount, words = p.Out, "take out"
		case p.Engineer:
			words = "ask the engineer"
		case strings.HasPrefix(*amount, "-"):
			optional, words = true, "grind" // the least is none
		case words == "":
			continue
		}
		var m []string
		if len(rows) > 0 {
			m = c.spot.FindStringSubmatch(rows[0])
		}
		ok := m != nil && strings.TrimSuffix(strings.TrimSuffix(m[3], "not on hand"), " ") == words || m != nil && optional && m[3] == "stays high"
		if ok {
			w, err := strconv.ParseFloat(*amount, 64)
			ok = err == nil && math.Abs(c.amount(m[2])-math.Abs(w)) <= c.finest/2+0.001
		}
		switch {
		case ok:
			rows = rows[1:]
		case !optional:
			return errors.Join(append(faults, fmt.Errorf("shims at %s: %s mm of %q, shown %q", p.Name, *amount, words, m))...)
		}
	}
	if len(rows) > 0 {
		faults = append(faults, fmt.Errorf("shims that the export has not: %q", rows))
	}
	return errors.Join(faults...)
}

// record holds the record of what was laid against the export's.
func (c *checker) record(rows []string) error {
	if len(rows) != len(c.Laid) {
		return fmt.Errorf("%d spots with shims laid, %d shown", len(c.Laid), len(rows))
	}
	for i, l := range c.Laid {
		m := c.spot.FindStringSubmatch(rows[i])
		w, err := strconv.ParseFloat(l.Amount, 64)
		if err != nil || m[3] != c.stack(l.Pieces) || math.Abs(c.amount(m[2])-math.Abs(w)) > c.finest/2+0.001 {
			return fmt.Errorf("laid at %s: %s mm of %q, shown %q", l.Name, l.Amount, c.stack(l.Pieces), rows[i])
		}
	}
	return nil
}

// kept holds the table of notes and photos against the export's. Words that are
// too long for their cell go on in the next line.
func (c *checker) kept(table string) error {
	table = strings.Join(strings.Fields(strings.ReplaceAll(table, notesHead, " ")), " ")
	var all []note
	for _, s := range c.Stations {
		for _, n := range s.Notes {
			n.Station = s.Name
			all = append(all, n)
		}
	}
	for _, n := range append(all, c.Notes...) {
		row := regexp.QuoteMeta(n.Station) + `(?: (?:top|bottom))? \d{4}-\d\d-\d\d \d\d:\d\d .{1,80}? ` + strconv.Itoa(n.Round) + ` `
		if n.Photo != nil {
			row += `photo (?:\d+|` + (*n.Photo)[:8] + `, kept but not shown here)`
			if n.Text != "" {
				row += `: `
			}
		}
		row += regexp.QuoteMeta(n.Text)
		at := regexp.MustCompile(`(?:^| )` + row).FindStringIndex(table)
		if at == nil {
			return fmt.Errorf("kept at %s: %q is not shown in its place", n.Station, n.Text)
		}
		table = table[at[1]:]
	}
	return nil
}

// stack is a stack as it is shown.
func (c *checker) stack(sizes []string) string {
	words := make([]string, len(sizes))
	for i, size := range sizes {
		words[i] = c.size(size)
	}
	return strings.Join(words, " + ")
}

// size is a shim's size as it is shown: a fraction of an inch in its lowest
// terms, or millimetres, with the unit where it is not the job's.
func (c *checker) size(mm string) string {
	v, err := strconv.ParseFloat(mm, 64)
	n := math.Round(v / 25.4 * 64)
	switch {
	case (err != nil || math.Abs(v-n*25.4/64) > 1e-6) && c.Job.Unit == "mm":
		return mm
	case err != nil || math.Abs(v-n*25.4/64) > 1e-6:
		return mm + " mm"
	case c.Job.Unit != "in":
		return sixtyFourths(n) + " in"
	}
	return sixtyFourths(n)
}

// sixtyFourths are so many 64ths as they are shown, in lowest terms.
func sixtyFourths(n float64) string {
	if n == 0 {
		return "0"
	}
	whole, under := math.Floor(n/64), 64.0
	for n -= whole * 64; n > 0 && math.Mod(n, 2) == 0; n, under = n/2, under/2 {
	}
	switch {
	case n == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%g/%g", n, under)
	}
	return fmt.Sprintf("%g %g/%g", whole, n, under)
}

// named is the station that a line begins with, the longest name that does, or
// -1: beside c5 there may be "c5 top".
func (c *checker) named(line string) int {
	best := -1
	for i, s := range c.Stations {
		if (line == s.Name || strings.HasPrefix(line, s.Name+" ")) && (best < 0 || len(s.Name) > len(c.Stations[best].Name)) {
			best = i
		}
	}
	return best
}

// head reads the line of heads, nil where it is none of the table of stations.
func (c *checker) head(line string) []string {
	var out []string
	line = strings.Replace(line, "station plate, ", "station ", 1) // what was read, not of what
	for _, k := range columns {
		k = strings.Replace(k, "%s", c.Job.Reference, 1)
		if rest, ok := strings.CutPrefix(line, k); ok {
			out, line = append(out, k), strings.TrimSpace(rest)
		}
		for len(out) > 1 && strings.HasPrefix(line, "round ") {
			n, rest, _ := strings.Cut(strings.TrimPrefix(line, "round "), " ")
			out, line = append(out, "round "+n), strings.TrimSpace(rest)
		}
	}
	if line != "" || len(out) < 2 {
		return nil
	}
	return out
}

// row holds one row's cells against the export.
func (c *checker) row(head []string, rest string, s station) error {
	var faults []error
	cell := func(pattern *regexp.Regexp) []string {
		m := pattern.FindStringSubmatch(rest)
		if m != nil {
			rest = strings.TrimSpace(rest[len(m[0]):])
		}
		return m
	}
	near := func(what string, m []string, value float64, want *string) {
		switch {
		case m == nil && want == nil:
		case m == nil || want == nil:
			faults = append(faults, fmt.Errorf("%s: shown %t, exported %t", what, m != nil, want != nil))
		default:
			w, err := strconv.ParseFloat(*want, 64)
			if err != nil {
				faults = append(faults, err)
			} else if math.Abs(value-w) > c.finest/2+0.001 {
				faults = append(faults, fmt.Errorf("%s: shown %.3f mm, exported %s", what, value, *want))
			}
		}
	}
	height := func(what string, want *string) {
		if after, none := strings.CutPrefix(rest, "·"); none {
			rest = strings.TrimSpace(after)
			near(what, nil, 0, want)
			return
		}
		m := cell(c.side)
		near(what, m, c.value(m), want)
	}
	for _, column := range head {
		switch column {
		case "meant to be":
			if s.Design != "0" {
				height(column, &s.Design)
			}
		case "off datum":
			height(column, s.Deviation)
		case "good to":
			m := cell(c.bare)
			if m == nil {
				if s.Band != nil && *s.Band != "0" {
					faults = append(faults, fmt.Errorf("%s is missing", column))
				}
				continue
			}
			v, w := c.amount(m[1]), 0.0
			if s.Band != nil {
				w, _ = strconv.ParseFloat(*s.Band, 64)
			}
			if v < w-0.001 || v >= w+c.finest+0.001 { // rounded up
				faults = append(faults, fmt.Errorf("%s: shown %.3f mm, exported %.3f", column, v, w))
			}
		case "to do":
			faults = append(faults, c.todo(cell(c.do), s))
		case "set since":
			// The export has it not.
			if cell(c.bare) != nil {
				rest = strings.TrimSpace(strings.TrimPrefix(rest, "out"))
			}
		case "checked":
			yes, apart := strings.HasPrefix(rest, "yes"), strings.HasPrefix(rest, "differs")
			rest = strings.TrimPrefix(strings.TrimPrefix(rest, "differs"), "yes")
			if (yes || apart) != s.Checked { // the export tells of a second reading, not what it showed
				faults = append(faults, fmt.Errorf("checked: shown %t", yes))
			}
		default:
			if round, is := strings.CutPrefix(column, "round "); is {
				var want *string
				for _, k := range s.Rounds {
					if strconv.Itoa(k.Round) == round {
						want = k.Elevation
					}
				}
				height(column, want)
				continue
			}
			height(column, s.Elevation)
		}
	}
	if rest != "" {
		faults = append(faults, fmt.Errorf("%q is left", rest))
	}
	return errors.Join(faults...)
}

// todo holds a move and verdict against the export.
func (c *checker) todo(m []string, s station) error {
	verdict := ""
	if s.Verdict != nil {
		verdict = *s.Verdict
	}
	shown := ""
	if m != nil {
		if shown = m[1] + m[4]; m[5] != "" {
			shown = "unsure"
		}
	}
	want := map[string][]string{
		"": {"", "not tied"}, "on": {"on"}, "raise": {"raise"}, "lower": {"lower", "stays high"}, "unsure": {"unsure"}, "unread": {"unread", "no beam"},
	}[verdict]
	if !slices.Contains(want, shown) {
		return fmt.Errorf("the verdict shown is %q, exported %q", shown, verdict)
	}
	if s.Move == nil || m == nil || m[1] == "" {
		return nil
	}
	v := c.amount(m[3])
	if m[1] != "raise" && m[1] != "low" {
		v = -v
	}
	w, err := strconv.ParseFloat(*s.Move, 64)
	if err == nil && math.Abs(v-w) > c.finest/2+0.001 && m[2] == "" || v*w < 0 {
		err = fmt.Errorf("the move shown is %.3f mm, exported %s", v, *s.Move)
	}
	return err
}

// value is a height in words in millimetres: "3/8 low" is -9.525.
func (c *checker) value(m []string) float64 {
	if m == nil || m[3] != "" {
		return 0
	}
	if m[2] == "low" {
		return -c.amount(m[1])
	}
	return c.amount(m[1])
}

// amount is an amount as shown in millimetres. One "heavy" or "shy" is half of
// the finest more or less.
func (c *checker) amount(text string) float64 {
	fields := strings.Fields(text)
	var v, shade float64
	for _, f := range fields {
		switch f {
		case "heavy":
			shade = c.finest / 2
		case "shy":
			shade = -c.finest / 2
		case "ft", "mm":
		default:
			n, err := inUnits(f)
			if err != nil {
				return math.NaN()
			}
			v += n
		}
	}
	switch c.Job.Unit {
	case "ft":
		return v * 304.8
	case "mm":
		return v
	}
	return v*25.4 + shade
}

// inUnits reads "3", "0.04" or "3/8".
func inUnits(s string) (float64, error) {
	over, under, is := strings.Cut(s, "/")
	v, err := strconv.ParseFloat(over, 64)
	if err != nil || !is {
		return v, err
	}
	u, err := strconv.ParseFloat(under, 64)
	return v / u, err
}
