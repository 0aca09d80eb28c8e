package phrase

// Parse reads one line. It never fails: what it cannot read is a Refuse.
func Parse(c Context, line string) Meaning {
	return Meaning{Said: line, Kind: Refuse, Why: Why{WhyNotUnderstood, []string{line}}}
}
