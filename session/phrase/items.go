package phrase

import (
	"strconv"
	"strings"
)

// Classes of what is no word of the table.
const (
	digits  Class = 200 + iota // a number written in digits: item.text
	symbol                     // one sign: item.text
	unknown                    // a word that the table does not have
)

// item is a piece of a line with its meaning: a token, or several tokens that
// stand for one word of the table.
type item struct {
	Word
	text          string // as folded
	before, after bool   // white space, or an end of the line, beside it
	spelled       bool   // a number in words
}

func (it item) is(s string) bool { return it.Class == symbol && it.text == s }

// number is the item's whole number; ok is false for decimals.
func (it item) number() (int64, bool) {
	switch it.Class {
	case Cardinal:
		return it.Num, true
	case digits:
		if len(it.text) > 12 || strings.ContainsAny(it.text, ".,") {
			return 0, false
		}
		n, err := strconv.ParseInt(it.text, 10, 64)
		return n, err == nil
	}
	return 0, false
}

// whole is the item's whole number, 0 where it is none.
func (it item) whole() int64 {
	n, _ := it.number()
	return min(n, maxNumber)
}

// digitParts are the letters that count parts of an inch behind a digit.
var digitParts = map[string]int64{"e": 8, "s": 16, "q": 4}

// itemise gives tokens their meaning.
func itemise(tokens []token) []item {
	out := make([]item, 0, len(tokens))
	for i := 0; i < len(tokens); {
		t := tokens[i]
		if w, n := phraseAt(tokens[i:]); n > 0 && !(w.Class == Vague && strings.HasPrefix(w.Text, "medi") && len(out) > 0 && out[len(out)-1].Class == AndWord) {
			out = append(out, item{Word: w, text: w.Text, before: t.space, after: tokens[i+n-1].after})
			i += n
			continue
		}
		it := item{text: t.text, before: t.space, after: t.after}
		switch t.kind {
		case number:
			it.Class = digits
		case sign:
			it.Class = symbol
			if w, ok := wordIndex[t.text]; ok {
				it.Word = w
			}
		case word:
			if n := len(out); n > 0 && !it.before && ordinals[t.text] && ordinal(out, t.text) {
				i++
				continue
			}
			it = wordItem(it, out)
		}
		i++
		if n := len(out); n > 1 && it.spelled && it.Lang == "es" && it.Num > 0 && it.Num < 10 && out[n-1].Class == AndWord &&
			out[n-2].spelled && out[n-2].Lang == "es" && out[n-2].Num >= 30 && !partAt(tokens, i) {
			// cincuenta y cinco; but treinta y tres octavos is 30 3/8.
			out = out[:n-1]
		}
		if n := len(out); it.Class == Cardinal && it.spelled && it.Num > 0 && it.Num < 10 && n > 0 &&
			out[n-1].spelled && out[n-1].Class == Cardinal && out[n-1].Num >= 20 && out[n-1].Num < 100 && out[n-1].Num%10 == 0 {
			out[n-1].Num += it.Num
			out[n-1].text, out[n-1].after = strconv.FormatInt(out[n-1].Num, 10), it.after
			continue
		}
		out = append(out, it)
	}
	return numbers(out)
}

// ordinals stand behind the figures of a part: 3/8ths, 5 32nds.
var ordinals = map[string]bool{"th": true, "ths": true, "nd": true, "nds": true}

// ordinal takes an ordinal's ending behind a number; ok is false where the
// number is no part of an inch.
func ordinal(out []item, ending string) bool {
	last := &out[len(out)-1]
	den, ok := last.number()
	if !ok || last.Class != digits || den < 4 || !shownParts[den] {
		return false
	}
	if n := len(out); n < 2 || !out[n-2].is("/") {
		last.Word = Word{Text: last.text + ending, Class: Part, Num: den}
		last.text += ending
	}
	last.after = true
	return true
}

// partAt says that a part of an inch stands at tokens[i]: octavos.
func partAt(tokens []token, i int) bool {
	return i < len(tokens) && tokens[i].kind == word && wordIndex[tokens[i].text].Class == Part
}

// pluralPart says that a word counts parts, as in three eighths.
func pluralPart(text string) bool {
	return wordIndex[text].Class == Part && strings.HasSuffix(text, "s")
}

func wordItem(it item, before []item) item {
	if n := len(before); n > 0 && !it.before && before[n-1].Class == digits {
		if d, ok := digitParts[it.text]; ok {
			it.Word = Word{Text: it.text, Class: Part, Num: d}
			return it
		}
	}
	w, ok := wordIndex[it.text]
	if base, is := strings.CutSuffix(it.text, "'s"); is && !ok {
		w, ok = wordIndex[base] // corner two's a quarter low
	}
	if !ok {
		it.Class = unknown
		return it
	}
	it.Word = w
	it.spelled = w.Class == Cardinal
	return it
}

// phraseAt is the entry of several words that stands at the head of tokens,
// and how many tokens it takes; n is 0 where there is none.
func phraseAt(tokens []token) (w Word, n int) {
	if tokens[0].kind != word {
		return Word{}, 0
	}
	for _, w := range wordPhrases[tokens[0].text] {
		if len(w.parts) > len(tokens) {
			continue
		}
		all := true
		for i, p := range w.parts {
			if tokens[i].kind != word || tokens[i].text != p {
				all = false
				break
			}
		}
		if all {
			return w.Word, len(w.parts)
		}
	}
	return Word{}, 0
}

// langOf is the one language that the words of a line belong to, "" where
// they belong to none or to both.
func langOf(items []item) string {
	en, es := 0, 0
	for _, it := range items {
		switch it.Lang {
		case "en":
			en++
		case "es":
			es++
		}
	}
	switch {
	case en > es:
		return "en"
	case es > en:
		return "es"
	}
	return ""
}
