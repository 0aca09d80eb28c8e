package voice

import (
	"context"
	"encoding/binary"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// sample is one note, and what was said in it.
type sample struct {
	set   string
	noise float64 // decibels of speech over pink noise; +Inf is clean
	voice talker
	said  string
	asked reduce.Station // which the walk asks for, when it is said
	note  []byte
	heard Heard
}

// nextWall is a station like this one past another corner of the site: what is
// asked for where a note names another.
func nextWall(s reduce.Station) reduce.Station {
	if s.Kind != reduce.Wall {
		return reduce.Along(1, 8*reduce.Foot)
	}
	return reduce.Along(s.Number%4+1, s.Past)
}

// corpus is what is measured. RODCALL_TEST_VOICE=full makes it whole; else it is a
// part that takes seconds.
func corpus(t *testing.T, voices []talker, c phrase.Context, known sentences, full bool) []sample {
	t.Helper()
	clean := math.Inf(1)
	var out []sample
	var mutex sync.Mutex
	var wg sync.WaitGroup
	places := make(chan struct{}, workersOf(0))
	for n, v := range voices {
		var all []sample
		add := func(set string, lines []string, noise ...float64) {
			for _, l := range lines {
				for _, db := range noise {
					s := sample{set: set, noise: db, voice: v, said: l, asked: c.Asked}
					switch set {
					case "full":
						s.asked = known.meaning(l).meaning.Station
					case "other":
						s.asked = nextWall(known.meaning(l).meaning.Station)
					}
					all = append(all, s)
				}
			}
		}
		if full {
			add("short", everyNth(shortLines(), n, 2), clean, 10)
			add("full", fullLines(n, 20), clean, 20, 10)
			add("other", fullLines(n, 20), clean, 20, 10)
			add("talk", everyNth(chatter(), n, 3), 20)
			add("foreign", everyNth(foreignLines(), n, 2), clean)
		} else {
			add("short", everyNth(shortLines(), n, 6), 10)
			add("full", fullLines(n, 5), 20)
			add("other", fullLines(n, 3), 20)
			add("talk", everyNth(chatter(), n, 10), 20)
			add("foreign", everyNth(foreignLines(), n, 6), clean)
		}
		dir := t.TempDir()
		wg.Go(func() {
			places <- struct{}{}
			defer func() { <-places }()
			if err := speakAll(t.Context(), dir, all); err != nil {
				t.Error(err)
			}
			mutex.Lock()
			defer mutex.Unlock()
			out = append(out, all...)
		})
	}
	wg.Wait()
	if t.Failed() {
		t.FailNow()
	}
	return out
}

// everyNth takes every so-manieth line from the nth on.
func everyNth(lines []string, n, of int) []string {
	var out []string
	for i := n % of; i < len(lines); i += of {
		out = append(out, lines[i])
	}
	return out
}

// speakAll makes the notes of samples of one voice.
func speakAll(ctx context.Context, dir string, all []sample) error {
	var lines []string
	for _, s := range all {
		if !slices.Contains(lines, s.said) {
			lines = append(lines, s.said)
		}
	}
	spoken, err := all[0].voice.say(ctx, dir, lines)
	if err != nil {
		return err
	}
	for i := range all {
		k := slices.Index(lines, all[i].said)
		if all[i].note, err = asNote(ctx, withNoise(spoken[k], all[i].noise, uint64(k))); err != nil {
			return err
		}
	}
	return nil
}

// batchSize is how many notes go into one run of the recogniser.
const batchSize = 24

// hearSamples hears all samples, each against the job and what it asks for.
func hearSamples(t *testing.T, e *Ear, c phrase.Context, all []sample) {
	t.Helper()
	var wg sync.WaitGroup
	for part := range slices.Chunk(all, batchSize) {
		wg.Go(func() {
			var sounds []Sound
			var listening []Listening
			for _, s := range part {
				at := c
				at.Asked = s.asked
				listening = append(listening, Listening{Context: at, Lang: "en"})
				sound, err := Decode(s.note, time.Minute)
				if err != nil {
					t.Errorf("%s: %q: %v", s.voice, s.said, err)
					return
				}
				sounds = append(sounds, sound)
			}
			heard, err := e.hearAll(t.Context(), sounds, listening)
			if err != nil {
				t.Error(err)
				return
			}
			for i := range part {
				part[i].heard = heard[i]
			}
		})
	}
	wg.Wait()
	if t.Failed() {
		t.FailNow()
	}
}

// outcome counts what became of notes.
type outcome struct {
	notes, right int
	silent       int // nothing was heard: it has to be said again
	wrong        int // something else was heard
	side         int // of them with another side, or on for an amount
	missed       int // of those: it becomes firm by going on all the same
	free         int // wrong, and nothing in Close keeps it from becoming firm by going on
	closed       int // right, and Close asks for an answer all the same
}

func (o outcome) share(n int) float64 { return 100 * float64(n) / float64(max(o.notes, 1)) }

// count holds what was heard against what was said.
func (o *outcome) count(c phrase.Context, all sentences, s sample) (right bool) {
	o.notes++
	want := all.meaning(s.said).meaning
	if s.heard.Fail != "" {
		o.silent++
		return false
	}
	got := phrase.Parse(c, s.heard.Text)
	must := false // as the conversation has it: another side, or another spot
	for _, text := range s.heard.Close {
		m := phrase.Parse(c, text)
		must = must || m.Station != got.Station || sideOf(m) != sideOf(got)
	}
	if got.Kind == want.Kind && got.Command == want.Command && got.Station == want.Station && got.Value == want.Value {
		o.right++
		if must {
			o.closed++
		}
		return true
	}
	if got.Kind != phrase.Reading {
		o.wrong++ // a command is answered by the bot, and stores no reading
		return false
	}
	o.wrong++
	if !must {
		o.free++
	}
	if want.Kind == phrase.Reading && sideOf(want) != sideOf(got) {
		o.side++
		if !must {
			o.missed++
		}
	}
	return false
}

// stray counts a note of other talk, or of a station that the job does not have:
// right is an answer that says so, wrong is that it is taken for a reading. A
// command that was heard is neither: it stores no reading.
func (o *outcome) stray(c phrase.Context, s sample) (right bool) {
	o.notes++
	if s.heard.Fail != "" {
		o.silent++
		return true
	}
	switch phrase.Parse(c, s.heard.Text).Kind {
	case phrase.Reading:
		o.wrong++
		return false
	case phrase.Refuse, phrase.Ask:
		o.right++
		return true
	default:
		return false
	}
}

func sideOf(m phrase.Meaning) int {
	switch {
	case m.Value < 0:
		return -1
	case m.Value > 0:
		return 1
	}
	return 0
}

var update = flag.Bool("update", false, "write what was heard of short notes for the walks of session/madesite")

// writeHeard leaves what was heard of each short note of a reading at 10 dB: what
// was said, what was heard ("" where nothing was), and what else it may be.
func writeHeard(t *testing.T, c phrase.Context, all []sample) {
	t.Helper()
	var lines []string
	for _, s := range all {
		if s.set == "short" && s.noise == 10 && phrase.Parse(c, s.said).Kind == phrase.Reading {
			lines = append(lines, strings.Join(append([]string{s.said, s.heard.Text}, s.heard.Close...), "\t")+"\n")
		}
	}
	slices.Sort(lines)
	if err := os.WriteFile("../../session/madesite/testdata/heard.tsv", []byte(strings.Join(lines, "")), 0o600); err != nil {
		t.Fatal(err)
	}
}

// row is a line of the table: the same sort of notes under the same noise.
type row struct {
	set   string
	noise float64
}

// least is how many of a hundred notes must be right, a little less than were
// when they were measured; most how many may be taken for a reading that they
// are not.
var (
	least = map[row]float64{
		{"short", math.Inf(1)}: 94, {"short", 10}: 92.5, {"full", math.Inf(1)}: 95, {"full", 20}: 95, {"full", 10}: 86,
		{"other", math.Inf(1)}: 93, {"other", 20}: 89, {"other", 10}: 74,
	}
	most = map[row]float64{{"talk", 20}: 5, {"foreign", math.Inf(1)}: 15}
)

// leastOfFew is the same for the small run, of all its short and full notes.
const leastOfFew = 80

// TestMeasured measures on the reporting voices, and prints a table.
// RODCALL_TEST_VOICE=full takes all of them; tuning takes the others.
func TestMeasured(t *testing.T) {
	needEngines(t)
	size := os.Getenv("RODCALL_TEST_VOICE")
	voices := reporting
	switch size {
	case "":
		voices = []talker{reporting[1], reporting[6]}
	case "tuning":
		voices = slices.Concat(tuning, hard)
	}
	e, err := NewEar(Config{})
	if err != nil {
		t.Fatal(err)
	}
	e.sphinx.deadline = 10 * time.Minute // for a batch
	c := site(t, reduce.Direct, reduce.UnitInch)
	known := e.sphinx.lexicon().sentences(c, e.readings(c))
	all := corpus(t, voices, c, known, size != "")
	hearSamples(t, e, c, all)
	if *update && size == "full" {
		writeHeard(t, c, all)
	}
	counts := map[row]*outcome{}
	var both outcome
	for _, s := range all {
		r := row{s.set, s.noise}
		if counts[r] == nil {
			counts[r] = &outcome{}
		}
		o := counts[r]
		right := false
		switch s.set {
		case "talk", "foreign":
			right = o.stray(c, s)
		default:
			right = o.count(c, known, s)
		}
		if !right {
			t.Logf("%s %g dB %s: %q heard as %q %v, close %q", s.set, s.noise, s.voice, s.said, s.heard.Text, s.heard.Fail, s.heard.Close)
		}
	}
	for r := range least {
		if o := counts[r]; o != nil {
			both.notes, both.right, both.missed = both.notes+o.notes, both.right+o.right, both.missed+o.missed
		}
	}
	t.Logf("heard of %d voices:\n%s", len(voices), table(counts))
	if both.missed > 0 {
		t.Errorf("%d times the side was wrong, and nothing kept it from becoming firm by going on", both.missed)
	}
	if size == "" {
		if both.share(both.right) < leastOfFew {
			t.Errorf("%.1f %% of %d notes were right, want %d", both.share(both.right), both.notes, leastOfFew)
		}
		return
	}
	for r, want := range least {
		if o := counts[r]; o.share(o.right) < want {
			t.Errorf("%s notes at %g dB: %.1f %% right, want %.1f", r.set, r.noise, o.share(o.right), want)
		}
	}
	for r, want := range most {
		if o := counts[r]; o.share(o.wrong) > want {
			t.Errorf("%s notes at %g dB: %.1f %% taken for a reading, at most %.1f", r.set, r.noise, o.share(o.wrong), want)
		}
	}
}

// table writes out what became of notes. firm/10 is how many of a hundred become
// firm wrongly where one echo in ten is overlooked.
func table(counts map[row]*outcome) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-8s %6s %6s %8s %8s %8s %6s %7s %8s %8s %8s\n", "notes", "noise", "count", "right %", "silent %", "wrong %", "side", "missed", "asked %", "firm/10", "firm/5")
	for _, r := range []row{{"short", math.Inf(1)}, {"short", 10}, {"full", math.Inf(1)}, {"full", 20}, {"full", 10}, {"other", math.Inf(1)}, {"other", 20}, {"other", 10}, {"foreign", math.Inf(1)}, {"talk", 20}} {
		if o := counts[r]; o != nil {
			fmt.Fprintf(&b, "%-8s %6g %6d %8.1f %8.1f %8.1f %6d %7d %8.1f %8.2f %8.2f\n", r.set, r.noise, o.notes, o.share(o.right), o.share(o.silent), o.share(o.wrong),
				o.side, o.missed, o.share(o.closed), o.share(o.free)/10, o.share(o.free)/5)
		}
	}
	return b.String()
}

// human is where Debian's package pocketsphinx-testdata puts recordings of
// people.
const human = "/usr/share/pocketsphinx/test/data"

// mostPeople is how many of their recordings are heard as something at most: none
// of 14 was, when it was measured.
const mostPeople = 1

// TestPeople: recordings of people, through Opus, are heard as other talk, all but
// one, for none is a reading or a command; and the digits that two of them
// say (the one in its name, 2934z, the other in its transcription) are heard as
// those by a grammar of digits.
func TestPeople(t *testing.T) {
	needEngines(t)
	var files []string
	for _, pattern := range []string{"*.raw", "cards/*.wav", "librivox/*.wav", "tidigits/*.raw"} {
		more, err := filepath.Glob(filepath.Join(human, pattern))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, more...)
	}
	if len(files) == 0 {
		t.Skip("Debian's package pocketsphinx-testdata is not installed")
	}
	e, err := NewEar(Config{})
	if err != nil {
		t.Fatal(err)
	}
	digits := digitGrammar(5)
	says := map[string]string{"dhd.2934z.raw": "two nine three four zero", "004.wav": "five five"}
	c := site(t, reduce.Direct, reduce.UnitInch)
	heard := 0
	for _, file := range files {
		note, err := asNote(t.Context(), recording(t, file))
		if err != nil {
			t.Fatal(err)
		}
		h := e.Hear(t.Context(), note, Listening{Context: c, Lang: "en"})
		if h.Text != "" {
			heard++
			t.Logf("%s: heard %+v", file, h)
		}
		if want := says[filepath.Base(file)]; want != "" {
			s, err := Decode(note, time.Minute)
			if err != nil {
				t.Fatal(err)
			}
			got, err := e.sphinx.Recognise(t.Context(), s, digits)
			if err != nil || got.Text != want {
				t.Errorf("%s: heard %q, %v, not %q", file, got.Text, err, want)
			}
		}
	}
	t.Logf("%d of %d recordings of people's other talk were heard as something", heard, len(files))
	if heard > mostPeople {
		t.Errorf("%d recordings were heard as something, at most %d", heard, mostPeople)
	}
}

// digitGrammar is one to so many digits.
func digitGrammar(most int) Grammar {
	digit, all := rule{name: "<digit>"}, rule{name: "<digits>"}
	for _, w := range phrase.Words() {
		if w.Class == phrase.Cardinal && w.Lang == "en" && w.Num < 10 {
			digit.add(1, []string{w.Text})
		}
	}
	for n := range most {
		all.add(1, slices.Repeat([]string{digit.name}, n+1))
	}
	return Grammar{[]rule{all, digit}}
}

// recording reads a file of people's speech at 16 kHz.
func recording(t *testing.T, file string) Sound {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if strings.HasSuffix(file, ".wav") {
		b = b[44:]
	}
	s := Sound{Samples: make([]int16, len(b)/2), Rate: soundRate}
	if _, err := binary.Decode(b[:len(b)/2*2], binary.LittleEndian, s.Samples); err != nil {
		t.Fatal(err)
	}
	return s
}
