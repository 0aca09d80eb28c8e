package session_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/phrase"
)

// TestLanguageStays once it was chosen: words of the other language that are
// on everybody's lips do not switch it; words for what the rod shows do.
func TestLanguageStays(t *testing.T) {
	tb := newTable(t)
	tb.private = true
	tb.mustSay("ann", "nuevo Casa este", "Obra Casa este abierta.")
	for _, s := range []string{
		"40x28", "loop garage 24x22 at 40,0", "direct rod", "ok", "on", "datum high", "/undo", "/left", "left", "skip", "undo", "asdf",
		"check c1 0", "piers 10,14", "datum blah", "loop", "help", "good", "3/8", "what",
	} {
		got := tb.say("ann", s)
		if lang := tb.last.Replies[0].Lang; lang != "es" {
			t.Fatalf("%q switched to %q: %q", s, lang, got)
		}
	}
	for _, c := range []struct{ text, lang string }{
		{"1/8 low", "en"}, {"borra", "en"}, {"un octavo bajo", "es"}, {"english", "en"}, {"regla directa", "en"}, {"español", "es"}, {"undo", "es"},
		{"three eighths", "en"},
	} {
		if tb.say("ann", c.text); tb.last.Replies[0].Lang != c.lang {
			t.Errorf("%q is answered in %q, want %q", c.text, tb.last.Replies[0].Lang, c.lang)
		}
	}
}

// TestOneMessageOneLanguage: what turns up the other language in the middle of a
// message changes that of the next one.
func TestOneMessageOneLanguage(t *testing.T) {
	tb := newTable(t)
	tb.private = true
	for _, s := range []string{"nuevo Casa este", "40x28", "regla directa"} {
		tb.say("ann", s)
	}
	for _, c := range []struct{ text, want, lang string }{
		{"c1 0\n1/8 low\n1/4 low", "c1+8: 1/4 bajo", "es"}, {"c1+12 0", "c1+12: level", "en"}, {"1/8 bajo\n1/8 low", "c1+16: 1/8 bajo", "es"},
	} {
		tb.mustSay("ann", c.text, c.want)
		if got := tb.last.Replies[0].Lang; got != c.lang {
			t.Errorf("%q is answered in %q, want %q", c.text, got, c.lang)
		}
	}
}

// TestFirstWordsChoose: whoever has shown no language yet is answered in that
// of their first command, whatever their phone says; not in that of a slash.
func TestFirstWordsChoose(t *testing.T) {
	for _, c := range []struct{ phone, text, lang string }{
		{"en", "nuevo Casa este", "es"}, {"es", "/new Casa este", "es"}, {"es", "new East house", "en"}, {"", "40x28", "en"}, {"es", "40x28", "es"},
	} {
		tb := newTable(t)
		tb.hear("ann", session.Message{Kind: session.Said, ID: "1", Text: c.text, Lang: c.phone})
		if got := tb.last.Replies[0].Lang; got != c.lang {
			t.Errorf("phone %q, %q: answered in %q, want %q", c.phone, c.text, got, c.lang)
		}
	}
}

// TestHelpWorks: every item that the help screen shows behind a colon is a
// reading or a command, and not in the other language's words.
func TestHelpWorks(t *testing.T) {
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	items := 0
	for k, two := range session.Texts() {
		if !strings.HasPrefix(string(k), "help.") {
			continue
		}
		c := phrase.Context{Rod: reduce.Direct, Unit: reduce.UnitInch, Finest: reduce.Inch / 16, Outline: &o, Asked: reduce.Corner(2)}
		if strings.HasSuffix(string(k), ".mm") {
			c.Unit, c.Finest = reduce.UnitMillimetre, reduce.Millimetre
			plan := o
			plan.Grid = reduce.GridFor(c.Unit)
			c.Outline = &plan
		}
		if strings.HasPrefix(string(k), "help.standard") {
			c.Rod = reduce.Standard
		}
		for i, other := range []string{"es", "en"} {
			_, list, ok := strings.Cut(two[i], ": ")
			if !ok {
				continue
			}
			for _, item := range strings.Split(list, ", ") {
				items++
				m := phrase.Parse(c, item)
				if m.Kind != phrase.Reading && m.Kind != phrase.Command || m.Lang == other {
					t.Errorf("%s: %q is a %s in language %q", k, item, phrase.KindName(m), m.Lang)
				}
			}
		}
	}
	if items < 60 {
		t.Errorf("%d items: the screen is not what this test reads", items)
	}
}

// englishRE are commands that a Spanish sentence must not send anybody to.
var englishRE = regexp.MustCompile(`(^|[^/\w])(loop|spacing|piers|walls|finest|units|undo|done|skip|left|repeat|new|datum (first|high)|direct rod|standard rod|test rod|check|bumped)\b`)

// TestSpanishSendsToSpanish: no Spanish sentence names an English command.
func TestSpanishSendsToSpanish(t *testing.T) {
	for k, two := range session.Texts() {
		if got := englishRE.FindString(two[1]); got != "" {
			t.Errorf("%s: %q in %q", k, got, two[1])
		}
		if strings.Contains(two[1], " ft") {
			t.Errorf("%s: feet in English: %q", k, two[1])
		}
	}
}

// TestCommandsAskForFormInSpanish: an example of the language of the talk.
func TestCommandsAskForFormInSpanish(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "nuevo Casa este")
	tb.mustSay("ann", "anillo", "Como: anillo cochera 24x22 en 40,0")
	tb.mustSay("ann", "40x28", "una marca cada 4 pies desde")
	tb.mustSay("ann", "anillo cochera 24x22 en 40,0", "8 esquinas")
}

// TestHelpFitsAPhone: no screen of help is longer than 24 lines of 40 letters.
func TestHelpFitsAPhone(t *testing.T) {
	for _, units := range []string{"units in", "units mm"} {
		tb := newTable(t)
		tb.say("ann", "new East house")
		tb.say("ann", units)
		for _, ask := range []string{"help", "help outline", "help rod", "help level", "help shims", "help rounds", "help sure",
			"ayuda", "ayuda contorno", "ayuda regla", "ayuda nivel", "ayuda calzas", "ayuda vueltas", "ayuda calidad"} {
			tb.say("ann", ask)
			lines := 0
			for _, r := range tb.last.Replies {
				for line := range strings.SplitSeq(r.Text, "\n") {
					lines += 1 + (utf8.RuneCountInString(line)-1)/40
				}
			}
			if lines < 3 || lines > 24 {
				t.Errorf("%s, %q: %d lines", units, ask, lines)
			}
		}
	}
}
