package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"rodcall/reduce"
	"rodcall/session"
)

// columns of the CSV export, named as in the JSON one.
var columns = []string{
	"name", "loop", "x", "y", "design", "height", "elevation",
	"deviation", "band", "move", "verdict", "checked", "shims", "rounds",
}

// WriteCSV writes a line of names and one row a station, in the order of the
// JSON export and with its values; what is not known is an empty field. The
// sizes of a stack stand with blanks between them, as do rounds, each with its
// elevation behind a colon.
func WriteCSV(w io.Writer, j *session.Job) error {
	out := csv.NewWriter(w)
	rows := [][]string{columns}
	nobody := func(session.PersonID) string { return "" }
	for _, d := range documentOf(j, Sources{Names: nobody}).Stations {
		loop, verdict := "", ""
		if d.Loop != nil {
			loop = *d.Loop
		}
		if d.Verdict != nil {
			verdict = string(*d.Verdict)
		}
		rows = append(rows, []string{
			d.Name, loop, field(d.X), field(d.Y), d.Design.String(), field(d.Height), field(d.Elevation),
			field(d.Deviation), field(d.Band), field(d.Move), verdict, strconv.FormatBool(d.Checked),
			strings.Join(d.Shims, " "), roundsOf(d.Rounds),
		})
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("write the stations: %w", err)
	}
	return nil
}

// roundsOf lists what each round read: "1:-9.525 2:0"; a round in which nothing
// ties the reading has no figure.
func roundsOf(rounds []roundDoc) string {
	out := make([]string, len(rounds))
	for i, r := range rounds {
		out[i] = strconv.Itoa(r.Round) + ":" + field(r.Elevation)
	}
	return strings.Join(out, " ")
}

// field is a length in millimetres, "" where it is not known.
func field(l *reduce.Length) string {
	if l == nil {
		return ""
	}
	return l.String()
}
