package session

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rodcall/reduce"
)

// Dump writes out all that a job holds, for tests that compare whole jobs.
func Dump(j *Job) string {
	var b strings.Builder
	fmt.Fprintln(&b, j.ID, j.Chat, j.Name, j.Opened, j.OpenedBy, j.Seq, j.last, j.plan)
	s := j.Settings
	outline, datum := *s.Outline, "none"
	if s.Datum != nil {
		datum = fmt.Sprintf("%+v", *s.Datum)
	}
	if s.Stock != nil {
		fmt.Fprintf(&b, "%+v\n", *s.Stock)
	}
	for _, k := range s.Setups {
		if k.Laser != nil {
			fmt.Fprintf(&b, "laser of %d %+v\n", k.ID, *k.Laser)
		}
	}
	if s.LaserCheck != nil {
		fmt.Fprintf(&b, "laser checked %+v\n", *s.LaserCheck)
	}
	if s.Signed != nil {
		fmt.Fprintf(&b, "signed %+v\n", *s.Signed)
	}
	s.Setups = slices.Clone(s.Setups)
	for i := range s.Setups {
		s.Setups[i].Laser = nil
	}
	s.Outline, s.Datum, s.Stock, s.LaserCheck, s.Signed = nil, nil, nil, nil, nil
	fmt.Fprintf(&b, "%+v\n%+v\n%s\n", s, outline, datum)
	for _, r := range j.hist.all() {
		fmt.Fprintf(&b, "%+v\n", r)
	}
	for _, k := range slices.SortedFunc(maps.Keys(j.slots), func(a, c slot) int {
		return strings.Compare(fmt.Sprint(a), fmt.Sprint(c))
	}) {
		fmt.Fprintf(&b, "%+v %d\n", k, j.slots[k])
	}
	// Found one by one, what is noted of them must agree.
	for k := range j.slots {
		if _, ok := j.live(k); ok == j.empty[k] {
			fmt.Fprintf(&b, "%+v: counts %t, noted as empty %t\n", k, ok, j.empty[k])
			panic(b.String())
		}
	}
	for _, st := range j.steps {
		fmt.Fprintf(&b, "%d %d %s %d %v %v %v\n", st.seq, st.by, st.message, st.line, st.reads, st.sets, st.leans)
	}
	return b.String()
}

// CommandNames lists the commands that the session knows to do.
func CommandNames() []string {
	var out []string
	for n := range commands {
		out = append(out, string(n))
	}
	slices.Sort(out)
	return out
}

// EventKinds lists the kinds that the codec knows.
func EventKinds() []string { return slices.Sorted(maps.Keys(bodies)) }

// Sight reduces a reading by the newest adjustment that is kept.
func (j *Job) Sight(rod int, value reduce.Length, s reduce.Station) (reduce.Length, bool) {
	return j.sight(rod, value, s)
}

// Adjustment is what further readings of a job are reduced by: the same while
// nothing was adjusted anew.
func (j *Job) Adjustment() any { return j.basis.Load() }
