package phrase

import (
	"slices"
	"strings"
	"unicode"

	"rodcall/reduce"
)

// noteLine reads a line that begins with a word for a note. It is asked before
// all else: what stands behind that word is text, whatever it looks like.
func (c Context) noteLine(m Meaning, text string, said int) (Meaning, bool) {
	if text == "" {
		return m, false
	}
	for n := min(maxWords, 1+strings.Count(text, " ")); n > 0; n-- {
		head, _ := firstWords(text, n)
		if w, ok := prefixWays[head]; ok && w.info.Name == CmdNote {
			return c.note(m, w, tail(m.Said, n+said)), true
		}
	}
	// note:blew out
	first, _ := firstWords(text, 1)
	head, _, glued := strings.Cut(first, ":")
	w, ok := prefixWays[head]
	if !glued || !ok || w.info.Name != CmdNote {
		return m, false
	}
	_, kept, _ := strings.Cut(tail(m.Said, max(0, said)), ":")
	return c.note(m, w, kept), true
}

// longNote says that a line which is too long was to be a note.
func (c Context) longNote(m Meaning) bool {
	fields := strings.Fields(fold(m.Said))
	for len(fields) > 1 && polite[fields[0]] {
		fields = fields[1:]
	}
	_, ok := c.noteLine(m, strings.Join(fields, " "), 0)
	return ok
}

// note reads a line for a station: the one that it begins with, else the one
// asked for. A text that is a reading by itself is asked back, unless it stands
// in quotes: it may have been meant as one.
func (c Context) note(m Meaning, w way, text string) Meaning {
	text = keepable(text)
	s, rest, named, why := c.noted(text)
	m.Command, m.Lang = w.info.Name, w.lang
	if why.Code != "" {
		m.Kind, m.Why = Refuse, why
		return m
	}
	m.Station, m.Named = s, named
	own, quoted := unquoted(rest)
	switch {
	case quoted:
		rest = own
	case rest == "":
		return c.form(m, w)
	case c.readsAs(text):
		head := "note "
		if w.lang == "es" {
			head = "apunte "
		}
		lead := strings.TrimSuffix(text, rest)
		return m.ask(Why{WhyNote, []string{text}}, c.thatRead(text, head+lead+`"`+rest+`"`)...)
	}
	return m.do(w, NoteArg{s, rest})
}

// Caption reads what was written with a photo as a note without a word for one
// before it: a NoteArg, whose Text is "" where only a station was written, or a
// Refuse. Where it begins with no station and names one of the job further on,
// it is for that one; where it names several, for none of them.
func Caption(c Context, text string) Meaning {
	m := Meaning{Said: strings.TrimSpace(text), Command: CmdNote}
	s, rest, named, why := c.noted(keepable(text))
	if why.Code != "" {
		m.Kind, m.Why = Refuse, why
		return c.finish(m)
	}
	if !named {
		if at, one := c.oneWithin(text); one {
			s, named = at, true
		}
	}
	if own, quoted := unquoted(rest); quoted {
		rest = own
	}
	m.Kind, m.Station, m.Named, m.Arg = Command, s, named, NoteArg{s, rest}
	return m
}

// keepable is a text in one line, without what no line shows.
func keepable(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && !unicode.IsSpace(r) || unicode.Is(unicode.Co, r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, ""))
	return strings.Join(strings.Fields(text), " ")
}

// quotes may stand around a note.
const quotes = `"“”„«»`

// unquoted is a text without the quotes around it.
func unquoted(text string) (string, bool) {
	r := []rune(text)
	if len(r) < 3 || !strings.ContainsRune(quotes, r[0]) || !strings.ContainsRune(quotes, r[len(r)-1]) {
		return "", false
	}
	own := strings.TrimSpace(string(r[1 : len(r)-1]))
	return own, own != ""
}

// readsAs says that a line would be a reading, a correction or a check.
func (c Context) readsAs(line string) bool {
	c.trying = true
	m := parse(c, line)
	_, reads := m.Arg.(ReadingArg)
	return m.Kind == Reading || m.Kind == Command && reads
}

// maxSpotWords is of how many words a station at the head of a note may be:
// "corner 3 plus 8".
const maxSpotWords = 5

// noted is the station that a note begins with and what is left of the note;
// named is false where it begins with none, and why says where there is no such
// station.
func (c Context) noted(text string) (s reduce.Station, rest string, named bool, why Why) {
	words := strings.Fields(text)
	for n := min(maxSpotWords, len(words)); n > 0; n-- {
		head := strings.Join(words[:n], " ")
		bare := strings.TrimRight(head, ":;,.-–—")
		s, ok := spotOf(itemise(lex(fold(bare))), c.Outline.Grid.Mark)
		if !ok || s.Half != 0 && bare == head { // c5 top form cracked: c5
			continue
		}
		rest = strings.TrimLeft(strings.Join(words[n:], " "), ":;, ")
		for _, dash := range []string{"- ", "– ", "— "} {
			rest = strings.TrimPrefix(rest, dash)
		}
		s, why, exists := c.resolve(s)
		if !exists {
			return reduce.Station{}, rest, true, why
		}
		return s, rest, true, Why{}
	}
	return c.Asked, text, false, Why{}
}

// oneWithin is the one station of the job that a text names anywhere; ok is
// false where it names none, or several.
func (c Context) oneWithin(text string) (s reduce.Station, ok bool) {
	words := strings.Fields(text)
	for i := 0; i < len(words); {
		took := 1
		for n := min(maxSpotWords, len(words)-i); n > 0; n-- {
			at, spot := spotOf(itemise(lex(fold(strings.Trim(strings.Join(words[i:i+n], " "), quotes+"().,:;!?-–—")))), c.Outline.Grid.Mark)
			if !spot {
				continue
			}
			if at, _, exists := c.resolve(at); exists {
				if ok && at != s {
					return reduce.Station{}, false
				}
				s, ok = at, true
			}
			took = n
			break
		}
		i += took
	}
	return s, ok
}

// spotHeads are the words for a station that a note may begin with. The others
// are talk as well: "see 2 cracks".
var spotHeads = wordSet("c corner cnr esquina p pier pad pilar zapata bm benchmark t")

// spotOf is the station that items name, all of them.
func spotOf(items []item, mark reduce.Length) (reduce.Station, bool) {
	if !slices.ContainsFunc(items, func(it item) bool { return spotHeads[it.text] }) ||
		slices.ContainsFunc(items, func(it item) bool { return misheard[it.text] > 0 }) {
		return reduce.Station{}, false // corner to the left
	}
	n, ok := pastCorner(items, mark)
	if !ok {
		n, ok = stationAt(items, mark)
	}
	if !ok || n.fine || n.far != "" || len(n.others) > 0 {
		return reduce.Station{}, false
	}
	if len(n.rest) == 2 && n.station.IsCorner() && (n.rest[0].is("+") || n.rest[0].Class == PlusWord) {
		// c3 + 8: beside no figure there is no other way to mean it.
		d, number := decimalOf(n.rest[1])
		past, err := reduce.FromDecimal(d, mark)
		if n.station.Past = past; number && err == nil && past > 0 {
			return n.station, true
		}
	}
	return n.station, len(n.rest) == 0
}
