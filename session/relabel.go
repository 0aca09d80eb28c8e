package session

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// relabel puts the labels of a question that was asked in the other language into
// the one that is spoken now. What its buttons send stays as it is.
func (h *hearing) relabel(q *Question) {
	if q.Lang != "" && q.Lang != h.lang {
		q.Buttons = slices.Clone(q.Buttons)
		for i, b := range q.Buttons {
			q.Buttons[i].Label = inTongue(h.lang, b.Label)
		}
		q.Also = slices.Clone(q.Also)
		for i := range q.Also {
			h.relabel(&q.Also[i])
		}
	}
	q.Lang = h.lang
}

// label is a text that a button may show, in the two languages as it stands in the
// catalogue, and what finds its gaps in the other one.
type label struct {
	key  Key
	gaps []int // of the catalogue, in the order in which they stand there
	re   *regexp.Regexp
}

// gapRE finds a gap of the catalogue, and a word that it chooses by number.
var gapRE = regexp.MustCompile(`\\\{(\d+)(?::([^{}|]*)\\\|([^{}|]*))?\\\}`)

// onButtons are the texts that buttons show beside those whose key says so.
var onButtons = map[Key]bool{
	"doubt.keep": true, "surprise.so": true, "surprise.again": true, "heard.no": true, "heard.confirm": true, "heard.at": true,
	"heard.yes": true, "photo.instead": true, "answer.check": true, "answer.correct": true, "design.lower": true, "design.higher": true,
	"paper.surface.concrete": true, "paper.surface.shims": true, "paper.surface.plate": true, "paper.bolts.tight": true, "paper.bolts.loose": true,
	"high": true, "low": true, "level": true, "rod.name": true, "rod.direct": true, "rod.standard": true, "matter.rod": true,
	"turn.left": true, "turn.right": true,
}

// labels are the texts that buttons show, by the language that they are found in;
// those with the most letters of their own first.
var labels = sync.OnceValue(func() map[string][]label {
	out := map[string][]label{}
	for key, t := range catalogue {
		if !onButtons[key] && !strings.Contains(string(key), "button") {
			continue
		}
		for lang, text := range map[string]string{"en": t.en, "es": t.es} {
			l := label{key: key}
			pattern := gapRE.ReplaceAllStringFunc(regexp.QuoteMeta(text), func(gap string) string {
				m := gapRE.FindStringSubmatch(gap)
				if strings.Contains(gap, ":") {
					return "(?:" + m[2] + "|" + m[3] + ")"
				}
				n, _ := strconv.Atoi(m[1]) // digits
				l.gaps = append(l.gaps, n)
				return "(.+)"
			})
			if !strings.ContainsFunc(gapRE.ReplaceAllString(regexp.QuoteMeta(text), ""), unicode.IsLetter) {
				continue // it has no word of its own
			}
			l.re = regexp.MustCompile("^" + pattern + "$")
			out[lang] = append(out[lang], l)
		}
	}
	for lang, all := range out {
		slices.SortFunc(all, func(a, b label) int {
			if n := len(b.re.String()) - 5*len(b.gaps) - len(a.re.String()) + 5*len(a.gaps); n != 0 {
				return n
			}
			return strings.Compare(string(a.key), string(b.key))
		})
		out[lang] = all
	}
	return out
})

// inTongue says a label, or a part of one, that was put in the other language in
// this one; what no text of the catalogue and no command is it leaves but for its
// sides and units.
func inTongue(lang, said string) string {
	other := "en"
	if lang == "en" {
		other = "es"
	}
	for name := range commandWords {
		if commandWord(other, name) == said {
			return commandWord(lang, name)
		}
	}
	for _, l := range labels()[other] {
		m := l.re.FindStringSubmatch(said)
		if m == nil {
			continue
		}
		args := make([]any, len(m)+4)
		for i := range args {
			args[i] = ""
		}
		for i, n := range l.gaps {
			if n <= len(args) {
				args[n-1] = inTongue(lang, m[i+1])
			}
		}
		return Say(lang, l.key, args...)
	}
	for _, part := range []string{", ", " "} { // sobre la solera, pernos flojos; c4 derecha
		if head, rest, ok := strings.Cut(said, part); ok && (part != " " || strings.ContainsAny(head, figures)) {
			if told := inTongue(lang, rest); told != rest {
				return inTongue(lang, head) + part + told
			}
		}
	}
	return translate(lang, said)
}
