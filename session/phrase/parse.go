package phrase

import "rodcall/reduce"

// Parse reads one line. It never fails: what it cannot read is a Refuse.
func Parse(c Context, line string) Meaning {
	return Meaning{Said: line, Kind: Refuse, Why: Why{WhyNotUnderstood, []string{line}}}
}

// ParseLength reads a bare length without a side: "3/4", "3/4 in", "19 mm".
func ParseLength(c Context, text string) (reduce.Length, Why, bool) { return 0, Why{}, false }
