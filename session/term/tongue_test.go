package term_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/render/readback"
	"rodcall/session"
	"rodcall/session/phrase"
	"rodcall/session/report"
)

// tongues are the languages, with the place of each in session.Texts.
var tongues = []string{"en", "es"}

// both are the words that mean the same in either language, or are written alike:
// no test can tell in which of the two they stand.
var both = wordSet("at bm bot chat corr csv datum english error español final json laser local me min mm no normal note once original pdf plan total usual version")

var (
	tokenRE = regexp.MustCompile(`[\p{L}\p{N}'+]+…?`)
	wordRE  = regexp.MustCompile(`^\p{L}{2,}$`)
	plural  = regexp.MustCompile(`\{\d+:([^{}|]*)\|([^{}|]*)\}`)
	slashed = regexp.MustCompile(`/[a-z]+( [a-z]+)?`) // the platform's commands are English for all
	folding = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n")
)

// wordsOf are the words of a text, in lower case and without accents; not
// numbers, stations, nor what a drawing had no room for.
func wordsOf(text string) (out []string) {
	for _, w := range tokenRE.FindAllString(folding.Replace(strings.ToLower(text)), -1) {
		if wordRE.MatchString(w) {
			out = append(out, w)
		}
	}
	return out
}

func wordSet(texts ...string) map[string]bool {
	out := map[string]bool{}
	for _, t := range texts {
		for _, w := range wordsOf(t) {
			out[w] = true
		}
	}
	return out
}

// vocabularies are the words in which each language is spoken: those of the
// catalogue, of amounts, of numbers, and of the commands that keys and sentences name.
func vocabularies() [2]map[string]bool {
	var all [2][]string
	for _, two := range session.Texts() {
		for i, s := range two {
			all[i] = append(all[i], slashed.ReplaceAllString(plural.ReplaceAllString(s, "$1 $2 "), ""))
		}
	}
	for _, w := range phrase.Words() {
		if w.Class == phrase.Cardinal || w.Class == phrase.Part {
			if i := slices.Index(tongues, w.Lang); i >= 0 {
				all[i] = append(all[i], w.Text)
			}
		}
	}
	for _, c := range phrase.Commands() {
		all[0], all[1] = append(all[0], c.English...), append(all[1], c.Spanish...)
	}
	for i, lang := range tongues {
		for shade := -1; shade <= 1; shade++ {
			all[i] = append(all[i], phrase.SayAmount(lang, reduce.UnitInch, reduce.Amount{Figure: "1", Shade: shade}))
		}
	}
	return [2]map[string]bool{wordSet(all[0]...), wordSet(all[1]...)}
}

// TestTongues: no word stands in texts of both languages but those that are
// listed, so that a word tells its language.
func TestTongues(t *testing.T) {
	if testing.Short() {
		t.Skip("it plays and draws all there is, in both languages")
	}
	v := vocabularies()
	var shared []string
	for w := range v[0] {
		if v[1][w] && !both[w] {
			shared = append(shared, w)
		}
	}
	slices.Sort(shared)
	if len(shared) > 0 {
		t.Errorf("words that stand in texts of both languages: %s; list them in both if each text is in its own", strings.Join(shared, " "))
	}
	for _, w := range slices.Sorted(maps.Keys(both)) {
		if !v[0][w] || !v[1][w] {
			t.Errorf("%q is not in texts of both languages", w)
		}
	}
}

// TestOneTongueAtATime goes through every chat of testdata. Each word of a reply, a
// button and a key is of the reply's language, and each word of every drawing,
// paper, summary and book of the jobs that are left, drawn in both languages, of
// that; but for names and what the person had said.
func TestOneTongueAtATime(t *testing.T) {
	if testing.Short() {
		t.Skip("it plays and draws all there is, in both languages")
	}
	v := vocabularies()
	replies, drawn := map[string]int{}, 0
	for _, file := range chatFiles(t) {
		name := strings.TrimSuffix(filepath.Base(file), ".txtar")
		_, chat := playFile(t, file)
		var own []string // names that the crew gave, and what they had kept
		for _, j := range chat.jobs {
			own = append(own, j.Name, j.ID, "ana ann ben crew utc")
			for _, n := range j.Notes {
				own = append(own, n.Text)
			}
			for _, l := range j.Outline.Loops {
				if l.Name != "house" {
					own = append(own, l.Name)
				}
			}
		}
		check := func(lang, what, text, said string) {
			t.Helper()
			free := wordSet(append(own, said)...)
			mine := v[slices.Index(tongues, lang)]
			for _, line := range strings.Split(text, "\n") {
				for _, w := range wordsOf(line) {
					if !mine[w] && !free[w] {
						t.Errorf("%s, %s in %q: %q is none of its words: %s", name, what, lang, w, line)
					}
				}
			}
		}
		for _, k := range slices.Concat(chat.talks, chat.switched) {
			for _, r := range k.replies {
				replies[r.Lang]++
				what := fmt.Sprintf("reply to %.40q", k.said)
				check(r.Lang, what, r.Text, k.said)
				check(r.Lang, what, r.Aloud, k.said)
				for _, b := range r.Buttons {
					check(r.Lang, what, b.Label, k.said)
				}
				for _, row := range r.Keys {
					check(r.Lang, what, strings.Join(row, "\n"), k.said)
				}
			}
		}
		for _, j := range chat.jobs {
			for _, lang := range tongues {
				for what, text := range sheets(t, j, lang) {
					drawn++
					check(lang, what, text, "")
				}
			}
		}
	}
	if replies["en"] < 300 || replies["es"] < 100 || drawn < 300 {
		t.Errorf("%d replies in English and %d in Spanish, %d sheets: this test has nothing to read", replies["en"], replies["es"], drawn)
	}
}

// probes are sent wherever a chat stands, in each language: what only shows
// something, and what is asked back or refused.
var probes = [2][]string{
	{"repeat", "left", "summary", "choices", "quality", "more", "shims", "help", "no", "yes", "ok", "undo", "check c1", "test rod", "c2 - 3/8", "3/8 up", "c1 ok", "c1 bien", "3/8", "asdf", "skip", "done", "sign", "c2"},
	{"repite", "que falta", "resumen", "opciones", "calidad", "otros", "calzas", "ayuda", "nada", "sí", "vale", "borra", "revisa c1", "probar regla", "c2 - 3/8", "3/8 up", "c1 bien", "c1 ok", "3/8", "asdf", "salta", "listo", "firma", "c2"},
}

// switched is what would be answered in the other language to somebody who chooses
// it where a message found them: to the choice, to each probe, and to a tap of each
// button that is still before them. What was put into words before is not excused.
func switched(c session.Chat, j *session.Job, v session.Conversation, m session.Message) []talk {
	to := 1
	if v.Lang == "es" {
		to = 0
	}
	own := ownWords(v)
	hear := func(v session.Conversation, k session.Message) session.Outcome {
		k.ID, k.From, k.At, k.Private, k.FreshID = m.ID, m.From, m.At, true, m.FreshID
		return session.Hear(c, j, v, k)
	}
	chosen := []string{"english", "español"}[to]
	o := hear(v, session.Message{Kind: session.Said, Text: chosen})
	v = o.Conversation
	out := []talk{{own, o.Replies}}
	for _, text := range probes[to] {
		out = append(out, talk{own + " " + text, hear(v, session.Message{Kind: session.Said, Text: text}).Replies})
	}
	if q := v.Question; q != nil {
		for i, b := range q.Buttons {
			out = append(out, talk{own + " " + b.Text, hear(v, session.Message{Kind: session.Tapped, Question: q.Number, Choice: i + 1}).Replies})
		}
	}
	return out
}

// ownWords are what somebody said that is asked about, or waits.
func ownWords(v session.Conversation) string {
	q := v.Question
	if q == nil {
		return ""
	}
	own := q.Text
	for _, l := range q.Held {
		own += " " + l.Text
	}
	return own
}

// sheets are the texts of all that is drawn or written of a job, by what it is.
func sheets(t *testing.T, j *session.Job, lang string) map[string]string {
	t.Helper()
	at := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	names := func(session.PersonID) string { return "ann" }
	src := report.Sources{Names: names, Head: report.Head{Seq: 57, Hash: session.HashOf([]byte("57"))}}
	out := map[string]string{"summary": report.Summary(j, lang, names), "notes": j.View().Notes(lang)}
	var svg, pdf, found bytes.Buffer
	if err := report.WriteSVG(&svg, j, lang, at, src); err != nil {
		t.Fatal(err)
	}
	out["drawing"] = svgText(t, svg.Bytes())
	choices := report.Choices(j, lang, at)
	page, err := render.LayoutTradeoff(&choices)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, it := range page.Items {
		b.WriteString(it.Text + "\n")
	}
	out["choices"] = b.String()
	if err := report.WritePDF(&pdf, j, lang, at, src); err != nil {
		t.Fatal(err)
	}
	out["papers"] = pdfText(t, pdf.Bytes())
	switch err := report.WriteFound(&found, j, lang, at, src); {
	case err == nil:
		out["as found"] = pdfText(t, found.Bytes())
	case !errors.Is(err, report.ErrNotFound):
		t.Fatal(err)
	}
	return out
}

func pdfText(t *testing.T, pdf []byte) string {
	t.Helper()
	words, _, err := readback.Words(pdf)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, w := range words {
		b.WriteString(w.Text + "\n")
	}
	return b.String()
}

// svgText is the text of an SVG, one element a line.
func svgText(t *testing.T, svg []byte) string {
	t.Helper()
	var b strings.Builder
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return b.String()
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok {
			b.WriteString(string(c) + "\n")
		}
	}
}
