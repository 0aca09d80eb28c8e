package phrase_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestNoteRows checks where lines are kept, and what is kept of them.
func TestNoteRows(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "phrases", "notes.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	c := yard(t, reduce.Direct, reduce.UnitInch)
	for line := range strings.Lines(string(b)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if strings.HasPrefix(line, "#") || len(f) != 3 {
			continue
		}
		m := phrase.Parse(c, f[0])
		arg, _ := m.Arg.(phrase.NoteArg)
		got := []string{m.Station.Name(reduce.Foot), arg.Text}
		switch {
		case m.Command != phrase.CmdNote:
			t.Errorf("%q: command %q", f[0], m.Command)
		case m.Kind == phrase.Ask:
			got = []string{"ask", strings.Join(m.Answers, " | ")}
		case m.Kind == phrase.Refuse:
			got = []string{"refuse", string(m.Why.Code)}
		case arg.Station != m.Station:
			t.Errorf("%q: for %v and for %v", f[0], arg.Station, m.Station)
		}
		if got[0] != f[1] || got[1] != f[2] {
			t.Errorf("%q: %q, want %q", f[0], got, f[1:])
		}
	}
}

func TestLongNote(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	if m := phrase.Parse(c, "note "+strings.Repeat("á", 295)); m.Kind != phrase.Command {
		t.Errorf("300 characters: %v", m.Why)
	}
	if m := phrase.Parse(c, "note "+strings.Repeat("á", 296)); m.Kind != phrase.Refuse || m.Why.Code != phrase.WhyLongNote || m.Command != phrase.CmdNote {
		t.Errorf("301 characters: %v", m.Why)
	}
}

// unshown are characters that nothing shows, which are not kept.
func unshown(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Co, r) }

// TestNoNoteIsAReading makes notes of anything, readings above all: none is
// read as one, and what is kept is what was sent.
func TestNoNoteIsAReading(t *testing.T) {
	var lines []string
	for _, file := range []string{"phrases.tsv", "crew.tsv", "phrases-standard.tsv", "crew-standard.tsv"} {
		for _, r := range rows(t, file) {
			lines = append(lines, r.message)
		}
	}
	heads := []string{"note ", "Note: ", "note:", "/note ", "write down ", "apunte ", "nota: ", "please note "}
	asked, kept := 0, 0
	job := yard(t, reduce.Direct, reduce.UnitInch)
	rapid.Check(t, func(t *rapid.T) {
		c := job
		c.Rod = rapid.SampledFrom([]reduce.RodKind{reduce.Direct, reduce.Standard}).Draw(t, "rod")
		c.Unit = rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")
		text := rapid.OneOf(
			rapid.SampledFrom(lines),
			rapid.String(),
			rapid.Custom(func(t *rapid.T) string {
				return rapid.SampledFrom(lines).Draw(t, "line") + " " + rapid.StringMatching(`[a-z ]{0,20}`).Draw(t, "behind")
			}),
		).Draw(t, "text")
		line := rapid.SampledFrom(heads).Draw(t, "head") + text
		m := phrase.Parse(c, line)
		if _, reads := m.Arg.(phrase.ReadingArg); m.Kind == phrase.Reading || reads {
			t.Fatalf("%q is read as %v at %v", line, m.Value, m.Station)
		}
		if m.Command != phrase.CmdNote && m.Why.Code != phrase.WhyTooLong {
			t.Fatalf("%q: command %q, %v", line, m.Command, m.Why)
		}
		for _, a := range m.Answers {
			if k := phrase.Parse(c, a); k.Kind != phrase.Reading && k.Kind != phrase.Command {
				t.Fatalf("%q: the answer %q is neither a reading nor a command", line, a)
			}
		}
		if arg, ok := m.Arg.(phrase.NoteArg); ok {
			kept++
			if arg.Text == "" || !strings.ContainsFunc(text, unshown) && !strings.Contains(strings.Join(strings.Fields(line), " "), arg.Text) || utf8.RuneCountInString(arg.Text) > 300 {
				t.Fatalf("%q: kept %q", line, arg.Text)
			}
		} else if m.Kind == phrase.Ask {
			asked++
		}
	})
	if asked == 0 || kept == 0 {
		t.Errorf("%d kept, %d asked back: nothing was tried", kept, asked)
	}
}
