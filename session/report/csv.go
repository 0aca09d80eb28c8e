package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"rodcall/reduce"
	"rodcall/session"
)

// columns of the CSV export, named as in the JSON one.
var columns = []string{
	"name", "loop", "x", "y", "design", "height", "elevation",
	"deviation", "band", "move", "verdict", "checked",
}

// WriteCSV writes a line of names and one row a station, in the order of the
// JSON export and with its values; what is not known is an empty field.
func WriteCSV(w io.Writer, j *session.Job) error {
	out := csv.NewWriter(w)
	rows := [][]string{columns}
	for _, s := range j.View().Stations {
		d := stationOf(j, s)
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
		})
	}
	if err := out.WriteAll(rows); err != nil {
		return fmt.Errorf("write the stations: %w", err)
	}
	return nil
}

// field is a length in millimetres, "" where it is not known.
func field(l *reduce.Length) string {
	if l == nil {
		return ""
	}
	return l.String()
}
