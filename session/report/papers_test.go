package report_test

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/render/readback"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/report/proof"
)

// papers are a job's papers, written.
func papers(t testing.TB, j *session.Job, lang string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := report.WritePDF(&b, j, lang, made, sources); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// readLines is the text of a PDF, what stands side by side in one line.
func readLines(t testing.TB, pdf []byte) (text string, pages int) {
	t.Helper()
	words, pages, err := readback.Words(pdf)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i, w := range words {
		switch {
		case i == 0:
		case w.Page == words[i-1].Page && w.Y == words[i-1].Y && w.X > words[i-1].X:
			b.WriteByte(' ')
		default:
			b.WriteByte('\n')
		}
		b.WriteString(w.Text)
	}
	return b.String(), pages
}

// rounds is a job of three rounds: a walk on concrete, one on shims and one on
// the plate with the bolts tight, and what was set between them.
func rounds(t *testing.T) *book {
	b := shed(t)
	b.by = 1
	b.add(session.DatumSet{Choice: reduce.DatumHigh})
	b.add(session.RoundEnded{Round: 1})
	b.add(session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: b.station("c1+4"), Amount: sixteenths(5)}, {Station: b.station("p1"), Amount: sixteenths(10)}}})
	walk := []reduce.Station{b.station("c1"), b.station("c1+4"), b.station("c2"), b.station("p1")}
	b.add(session.RoundOpened{Round: 2, Surface: "shims", Walk: walk[1:]})
	in := func(round int, station string, value reduce.Length) {
		b.add(session.Read{Round: round, Rod: 1, Station: b.station(station), Value: value, Said: value.String()})
	}
	in(2, "bm", sixteenths(21))
	in(2, "c1+4", sixteenths(3))
	in(2, "p1", sixteenths(2))
	b.add(session.PlanSet{What: session.FigurePlate, Length: 3 * reduce.Inch / 2})
	b.add(session.RoundOpened{Round: 3, Surface: "plate", Tight: true, Walk: walk})
	in(3, "bm", sixteenths(21))
	for _, s := range []string{"c1", "c1+4", "c2", "p1"} {
		in(3, s, sixteenths(27))
	}
	return b
}

// TestPapersTellTheExport: read back, the papers say of every station what the
// export says: heights, rounds, deviations, bands, moves, verdicts, counts.
func TestPapersTellTheExport(t *testing.T) {
	kinds := everyKind(t)
	kinds["shed"], kinds["rounds"] = shed(t), rounds(t)
	settled := shed(t)
	settled.add(session.DatumSet{Choice: reduce.DatumFixed, Level: sixteenths(1)})
	settled.add(session.ToleranceSet{Tolerance: sixteenths(1)})
	kinds["shed, settled"] = settled
	touched := rounds(t)
	touched.add(session.Shimmed{Round: 3, Spots: []session.ShimSet{{Station: touched.station("c2"), Amount: sixteenths(2)}}})
	kinds["touched"] = touched
	for name, b := range kinds {
		t.Run(name, func(t *testing.T) {
			j := b.job()
			text, pages := readLines(t, papers(t, j, "en"))
			if pages > 3 && (len(j.Notes) == 0 || pages > 4) {
				t.Errorf("%d pages", pages)
			}
			found, err := proof.Compare(exported(t, j), text)
			if err != nil {
				t.Errorf("%v\n%s", err, text)
			}
			if name == "touched" && !strings.Contains(text, "1/16 low 1/16 on 1/8\n") {
				t.Errorf("nothing says that c2 was shimmed since:\n%s", text)
			}
			if want := len(j.View().Stations); found != want {
				t.Errorf("%d stations found, want %d", found, want)
			}
		})
	}
}

// TestPapersCountTheSill: what was read in a round is counted as everywhere else
// on the papers, without the point off the sill.
func TestPapersCountTheSill(t *testing.T) {
	text, _ := readLines(t, papers(t, rounds(t).job(), "en"))
	for _, want := range []string{"4 of 4 stations read", "Round 2: rod on shims; 2 stations read.", "Round 3: rod on the plate, bolts tight; 4 stations read."} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in:\n%s", want, text)
		}
	}
}

// TestPapersOfALargeJob: 500 stations have three pages at most, which say how
// many they leave out; those that stay are as exported, and the farthest off
// are among them.
func TestPapersOfALargeJob(t *testing.T) {
	b := newBook(t, "Hall", reduce.Direct)
	b.rectangle(520, 480)
	j := b.job()
	for i, s := range j.Outline.Stations() {
		b.add(session.Read{Round: 1, Rod: 1, Station: s, Value: sixteenths(reduce.Length(i*37%89) - 44), Said: "x"})
	}
	b.add(session.DatumSet{Choice: reduce.DatumFirst})
	j = b.job()
	n := len(j.View().Stations)
	pdf := papers(t, j, "en")
	text, pages := readLines(t, pdf)
	if n != 500 || pages != 3 || len(pdf) > 330_000 {
		t.Errorf("%d stations on %d pages, %d bytes", n, pages, len(pdf))
	}
	said := regexp.MustCompile(`(\d+) of (\d+) stations, those farthest off: the whole table is in the CSV`).FindStringSubmatch(text)
	if said == nil {
		t.Fatalf("nothing says what is left out:\n%s", text)
	}
	found, err := proof.Compare(exported(t, j), text)
	if found < 60 || found >= n {
		t.Errorf("%d of %d stations found", found, n)
	}
	for _, fault := range strings.Split(err.Error(), "\n") {
		if !strings.HasSuffix(fault, " is missing") && !strings.HasPrefix(fault, "shims at ") {
			t.Error(fault)
		}
	}
	// They are 0 to 88 sixteenths above c1, which is the datum.
	if !strings.Contains(text, "5 1/2 high 5 1/2 high") || strings.Contains(text, "level on") {
		t.Errorf("those that stay are not the farthest off:\n%s", text)
	}
}

// TestProofBites: text that differs from the export in one figure is told.
func TestProofBites(t *testing.T) {
	bites(t, everyKind(t)["settled"].job(), [][2]string{
		{" 1/2 + 1/8\n", " 1/2 + 1/16\n"}, {"\nc1+5'4\" 3/16", "\nc1+5'4\" 1/4"}, {"\nc3+1'4\" 5/8 1/2 + 1/8\n", "\n"}, {"1/8 + 1/16\n", "1/8 + 1/16 yes\n"},
	})
	bites(t, rounds(t).job(), [][2]string{
		{"\nc2 1 5/8 high", "\nc2 1 3/4 high"}, {"1/16 low 1/16 on", "1/16 low 1/16 raise 1/16"}, {"\np1 1", "\np2 1"}, {"3/16 low", "3/16 high"},
		{"1/16 low 1/16 on", "1/16 low 1/8 on"}, {"high level ·", "high level 1/8 high"}, {" no beam\n", " on\n"},
	})
}

func bites(t *testing.T, j *session.Job, changes [][2]string) {
	t.Helper()
	text, _ := readLines(t, papers(t, j, "en"))
	for _, change := range changes {
		bad := strings.Replace(text, change[0], change[1], 1)
		if bad == text {
			t.Errorf("%q does not stand there", change[0])
			continue
		}
		if _, err := proof.Compare(exported(t, j), bad); err == nil {
			t.Errorf("%q for %q is not told", change[1], change[0])
		}
	}
}

// TestPapersAreTheSameTwice, and small: a house of 34 stations has at most
// 300 KB on one to three pages, Letter for inches and feet, A4 for metres.
func TestPapersAreTheSameTwice(t *testing.T) {
	for name, b := range map[string]*book{"house": walked(t, reduce.Direct), "rounds": rounds(t)} {
		a, again := papers(t, b.job(), "es"), papers(t, b.job(), "es")
		if !bytes.Equal(a, again) {
			t.Errorf("%s: the same job gave other bytes", name)
		}
		if len(a) > 300_000 {
			t.Errorf("%s: %d bytes", name, len(a))
		}
	}
	kinds := everyKind(t)
	for name, want := range map[string]render.Sheet{"walk": render.Letter, "feet": render.Letter, "metric": render.A4} {
		if got := report.Papers(kinds[name].job(), "en", made, sources).Sheet; got != want {
			t.Errorf("%s: a sheet of %v, want %v", name, got, want)
		}
	}
}

// TestPapersNameWhoReadWhat: by the name now known; who is forgotten, by the rod.
func TestPapersNameWhoReadWhat(t *testing.T) {
	text, _ := readLines(t, papers(t, shed(t).job(), "en"))
	for _, want := range []string{
		"ann: direct rod, set-up 1, 5 readings, 2026-05-04 06:00 to 06:02",
		"rod 1 (direct rod): direct rod, set-up 1, 1 reading, 2026-05-04 06:02",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not stand there:\n%s", want, text)
		}
	}
}

// TestSpanishPapers: in Spanish every paragraph and heading is another, and no
// gap or key is left in either language.
func TestSpanishPapers(t *testing.T) {
	for name, b := range everyKind(t) {
		j := b.job()
		en, es := report.Papers(j, "en", made, sources), report.Papers(j, "es", made, sources)
		en.Blocks, es.Blocks = append(en.Blocks, en.Behind...), append(es.Blocks, es.Behind...)
		if len(en.Blocks) != len(es.Blocks) {
			t.Fatalf("%s: %d blocks and %d", name, len(en.Blocks), len(es.Blocks))
		}
		for i := range en.Blocks {
			for _, block := range []render.Block{en.Blocks[i], es.Blocks[i]} {
				for _, text := range blockTexts(block) {
					if strings.ContainsAny(text, "{}") || strings.Contains(text, "paper") || strings.Contains(text, "found.") {
						t.Errorf("%s: %q", name, text)
					}
				}
			}
			a, b := blockTexts(en.Blocks[i]), blockTexts(es.Blocks[i])
			if len(a) > 0 && a[0] == b[0] {
				t.Errorf("%s: %q in both languages", name, a[0])
			}
		}
	}
}

// blockTexts are the words of a block that are no names or figures.
func blockTexts(b render.Block) []string {
	switch b := b.(type) {
	case render.Heading:
		return []string{string(b)}
	case render.Text:
		return []string{string(b)}
	case *render.Table:
		if b.LeftOut == "" {
			return b.Head
		}
		return append([]string{b.LeftOut}, b.Head...)
	}
	return nil
}

// TestFoundStandsAlone: how the foundation was found is the same page whatever
// was chosen, set and read afterwards, and tells no move.
func TestFoundStandsAlone(t *testing.T) {
	found := func(b *book) string {
		t.Helper()
		var out bytes.Buffer
		if err := report.WriteFound(&out, b.job(), "en", made, sources); err != nil {
			t.Fatal(err)
		}
		text, pages := readLines(t, out.Bytes())
		if pages != 1 {
			t.Errorf("%d pages", pages)
		}
		return text
	}
	first := found(shed(t))
	if later := found(rounds(t)); later != first {
		t.Errorf("after three rounds it is another:\n%s\nand was\n%s", later, first)
	}
	for _, want := range []string{
		"As found: North shed", "As found on concrete, 2026-05-04, before any shim there. Heights are of c1.",
		"High spot c2: 3/16 above c1. Low spot p1: 1/2 below c1. Range 11/16 in.",
		"1/2 in within 20 ft: more than that", "3 stations unchecked", "Beam not tested", "c1+4 3/16 low", "on concrete",
	} {
		if !strings.Contains(first, want) {
			t.Errorf("%q does not stand there:\n%s", want, first)
		}
	}
	for _, never := range []string{"raise", "lower", "datum", "olerance 1", "shims"} {
		if strings.Contains(first, never) {
			t.Errorf("%q stands there:\n%s", never, first)
		}
	}
}

// TestFoundCountsWhatWasFound: a spot read anew after shims were set there is
// not as found; one that was mended or taken back is.
func TestFoundCountsWhatWasFound(t *testing.T) {
	b := shed(t)
	b.add(session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: b.station("c1+4"), Amount: sixteenths(3)}}})
	b.read("c1+4", sixteenths(1))
	b.read("c4", sixteenths(-3))
	j := b.job().AsFound()
	got := map[string]string{}
	for _, s := range j.View().Stations {
		if s.Elevation != nil {
			got[s.Name] = session.SayAmount("en", j, *s.Elevation)
		}
	}
	for name, want := range map[string]string{"c1+4": "3/16", "c4": "1/4", "c1": "0"} {
		if got[name] != want {
			t.Errorf("%s was found at %q, want %q", name, got[name], want)
		}
	}
}

// TestNotFound: where the first round did not stand on concrete, or read
// nothing, there is no such page.
func TestNotFound(t *testing.T) {
	plate := shed(t)
	plate.add(session.SurfaceSet{Surface: "plate"})
	for name, b := range map[string]*book{"on the plate": plate, "opened": newBook(t, "Barn", reduce.Direct)} {
		if err := report.WriteFound(&bytes.Buffer{}, b.job(), "en", made, sources); !errors.Is(err, report.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestPapersOfAJobJustOpened are one page and no failure.
func TestPapersOfAJobJustOpened(t *testing.T) {
	if _, pages := readLines(t, papers(t, newBook(t, "Barn", reduce.Direct).job(), "en")); pages != 1 {
		t.Errorf("%d pages", pages)
	}
	if err := report.WritePDF(&full{10}, shed(t).job(), "en", time.Now(), sources); !errors.Is(err, errFull) {
		t.Errorf("a paper that was not written whole: %v", err)
	}
}

// TestPapersOfAnyJob: whatever a job holds, its papers have at most three pages
// and how it was found has one, and neither fails.
func TestPapersOfAnyJob(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBook(t, rapid.StringN(1, 60, -1).Draw(rt, "name"), reduce.Direct)
		size := rapid.SampledFrom([]reduce.Length{8, 8, 8, 28}).Draw(rt, "size")
		if rapid.IntRange(0, 4).Draw(rt, "outline") > 0 {
			b.rectangle(size, size-4, reduce.Point{X: 4 * reduce.Foot, Y: 4 * reduce.Foot})
		}
		walk := b.job().Outline.Stations()
		if len(walk) == 0 {
			walk = []reduce.Station{reduce.Corner(1), reduce.Corner(2), b.station("c2+4"), b.station("bm")}
		}
		part := rapid.SampledFrom([]int{1, 2, 5}).Draw(rt, "part")
		for round := 1; round <= rapid.IntRange(1, 4).Draw(rt, "rounds"); round++ {
			if round > 1 {
				b.add(session.RoundOpened{Round: round, Surface: rapid.SampledFrom([]string{"concrete", "shims", "plate"}).Draw(rt, "surface"), Walk: walk})
			}
			for setup := range rapid.IntRange(1, 2).Draw(rt, "setups") {
				rod := 100*round + setup
				b.by = session.PersonID(1 + setup%14)
				b.add(session.SetupOpened{Setup: rod})
				b.add(session.RodTaken{Rod: rod, Setup: rod, Kind: reduce.Direct, By: b.by})
				for i, s := range walk {
					switch (i + setup + round) % part {
					case 0:
						h := sixteenths(reduce.Length(rapid.Int64Range(-40, 40).Draw(rt, "height")))
						b.add(session.Read{Round: round, Rod: rod, Station: s, Value: h, Said: "?"})
					case 1:
						b.add(session.NoBeam{Station: s})
					}
				}
			}
			switch rapid.IntRange(0, 4).Draw(rt, "then") {
			case 0:
				b.add(session.DatumSet{Choice: rapid.SampledFrom([]reduce.DatumChoice{reduce.DatumHigh, reduce.DatumFirst}).Draw(rt, "datum")})
			case 1:
				b.add(session.Shimmed{Round: round, Spots: []session.ShimSet{{Station: walk[len(walk)/2], Amount: sixteenths(4)}}})
			}
		}
		long := func(session.PersonID) string { return strings.Repeat("Ann of the north ", 40) }
		j := b.job()
		lang := rapid.SampledFrom([]string{"en", "es"}).Draw(rt, "lang")
		var out bytes.Buffer
		if err := report.WritePDF(&out, j, lang, made, report.Sources{Names: long}); err != nil {
			rt.Fatal(err)
		}
		if _, pages := readLines(t, out.Bytes()); pages > 3 {
			rt.Fatalf("%d pages", pages)
		}
		if err := report.WriteFound(io.Discard, j, lang, made, report.Sources{Names: long}); err != nil && !errors.Is(err, report.ErrNotFound) {
			rt.Fatal(err)
		}
	})
}
