package voice

import (
	"cmp"
	"context"
	"errors"
	"log/slog"
	"slices"
	"strings"
	"sync"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// Fail says why nothing was heard; it is "" where something was.
type Fail string

// The ways to fail.
const (
	FailEngine   Fail = "engine"   // there is no recogniser, or it broke down
	FailLoud     Fail = "loud"     // too much noise to tell
	FailLong     Fail = "long"     // longer than a note may be
	FailEmpty    Fail = "empty"    // no sound, or hardly any
	FailTalk     Fail = "talk"     // other talk, or nothing that may be said here
	FailBroken   Fail = "broken"   // no voice note
	FailLanguage Fail = "language" // the recogniser does not understand the language
	FailBusy     Fail = "busy"     // too many notes at once
)

// Config says how to hear.
type Config struct {
	// Command is the operator's own recogniser, a program and its arguments:
	// see command.go. Without one it is pocketsphinx.
	Command []string
	// Languages are those that Command understands; "en" where none is given.
	Languages []string
	MaxNote   time.Duration // 60 s where it is 0
	Workers   int           // notes that are worked on at once; the number of processors where it is 0
	Log       *slog.Logger  // what breaks down; may be nil
}

// Listening is what a note is heard against.
type Listening struct {
	Context phrase.Context
	Lang    string // of the person: "en", "es"
	// Expect are values that the rod is likely to show, likeliest first. They
	// decide which corrections are offered first, never what is heard.
	Expect []reduce.Length
}

// Heard is what was heard in a note.
type Heard struct {
	Text string // as it may be typed: "three eighths low"; "" where Fail is set
	// Close are other texts that the recogniser could not rule out, nearest
	// first.
	Close  []string
	Fail   Fail
	Length time.Duration
	SNR    float64 // decibels, estimated
}

// What was set by the tuning voices (measure_test.go).
const (
	shortestNote = 250 * time.Millisecond
	// leastSNR is in decibels as SNR estimates them. Of 75 notes below it 56 %
	// were right and 35 % something else, of 75 from there to 12 dB 84 %.
	leastSNR = 8.0
	// leastScore is how well a sentence must fit, leastWord its worst word, and
	// leastRest what was taken for silence beside it: 4 of 848 right notes are
	// lost by them, and 4 of 90 of other talk are not.
	leastScore = -69.0
	leastWord  = -112.0
	leastRest  = -40.0
	// closeMargin is how much worse another value may fit that is not ruled out;
	// closeSide the same for one of another side.
	closeMargin = 3.0
	closeSide   = 12.0
)

// waiting is how many notes may wait for each that is worked on.
const waiting = 8

// Ear hears notes. It may be used by many at once.
type Ear struct {
	config Config
	sphinx *sphinx
	own    *command
	reason string
	room   chan struct{} // one for each note that is worked on or waits

	mutex sync.Mutex
	known map[values][]reading
}

// values is what the readings of a direct rod depend on.
type values struct {
	rod    reduce.RodKind
	unit   reduce.Unit
	finest reduce.Length
}

// NewEar finds a recogniser. Where there is none the Ear says so at each note,
// and Reason why; an error is a wrong configuration.
func NewEar(cfg Config) (*Ear, error) {
	cfg.MaxNote = cmp.Or(cfg.MaxNote, 60*time.Second)
	if len(cfg.Languages) == 0 {
		cfg.Languages = []string{"en"}
	}
	if cfg.MaxNote < 0 || cfg.Workers < 0 {
		return nil, errors.New("the longest note and the number of workers are more than 0")
	}
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	e := &Ear{config: cfg, known: map[values][]reading{}}
	sphinx, err := newSphinx(cfg.Workers)
	switch {
	case err == nil:
		e.sphinx = sphinx
	case !errors.Is(err, ErrNoEngine):
		return nil, err
	default:
		e.reason = err.Error()
	}
	if len(cfg.Command) > 0 {
		own, err := newCommand(cfg)
		if err != nil {
			e.sphinx, e.reason = nil, err.Error()
		} else {
			e.own, e.reason = own, ""
		}
	}
	e.room = make(chan struct{}, waiting*workersOf(cfg.Workers))
	return e, nil
}

// Reason says why no note can be heard, for the operator; "" where one can.
func (e *Ear) Reason() string { return e.reason }

// Languages are those that notes are understood in; none without a recogniser.
func (e *Ear) Languages() []string {
	switch {
	case e.own != nil:
		return e.own.Languages()
	case e.sphinx != nil:
		return e.sphinx.Languages()
	}
	return nil
}

// Hear makes words of a voice note. It never fails but by Fail.
func (e *Ear) Hear(ctx context.Context, note []byte, l Listening) Heard {
	if e.own == nil && e.sphinx == nil {
		return Heard{Fail: FailEngine}
	}
	if !slices.Contains(e.Languages(), cmp.Or(l.Lang, "en")) {
		return Heard{Fail: FailLanguage}
	}
	select {
	case e.room <- struct{}{}:
		defer func() { <-e.room }()
	default:
		return Heard{Fail: FailBusy}
	}
	sound, err := Decode(note, e.config.MaxNote)
	if err != nil {
		return Heard{Fail: failOf(err)}
	}
	if e.own != nil {
		return e.hearOwn(ctx, sound, l)
	}
	heard, err := e.hearAll(ctx, []Sound{sound}, []Listening{l})
	if err != nil {
		e.config.Log.Error("a voice note could not be recognised", "error", err)
		return Heard{Fail: failOf(err), Length: sound.Length()}
	}
	return heard[0]
}

func failOf(err error) Fail {
	switch {
	case errors.Is(err, ErrEmpty):
		return FailEmpty
	case errors.Is(err, ErrLong):
		return FailLong
	case errors.Is(err, ErrBroken):
		return FailBroken
	case errors.Is(err, context.DeadlineExceeded):
		return FailBusy
	}
	return FailEngine
}

// readings are the sentences of a direct rod, worked out once for each kind.
func (e *Ear) readings(c phrase.Context) []reading {
	if c.Rod == reduce.Standard {
		return nil
	}
	key := values{c.Rod, c.Unit, c.Finest}
	e.mutex.Lock()
	defer e.mutex.Unlock()
	if e.known[key] == nil {
		c.Asked = reduce.Corner(1)
		e.known[key] = e.sphinx.lexicon().readings(c)
	}
	return e.known[key]
}

// sentence is what a text of a grammar means.
type sentence struct {
	text    string
	meaning phrase.Meaning
}

// hearAll hears several sounds in one run of the recogniser.
func (e *Ear) hearAll(ctx context.Context, sounds []Sound, listening []Listening) ([]Heard, error) {
	out := make([]Heard, len(sounds))
	var passes []pass
	for i, s := range sounds {
		if out[i] = judge(s); out[i].Fail == "" {
			c := listening[i].Context
			passes = append(passes, pass{cleaned(s), e.sphinx.lexicon().grammar(c, e.readings(c))})
		}
	}
	hyps, err := e.sphinx.recognise(ctx, passes)
	if err != nil {
		return nil, err
	}
	for i := range out {
		if out[i].Fail == "" {
			e.choose(&out[i], listening[i], hyps[0])
			hyps = hyps[1:]
		}
	}
	return out, nil
}

// rawShare is how much of a sound as it came is recognised with what the filter
// left of it: the filter takes a part of the speech with the noise. At 10 dB of
// pink noise, of 176 notes of the hard voices 159 were right with none of it, 161
// with a tenth, 155 with a quarter and 149 with 0.4.
const rawShare = 0.1

// cleaned is a sound as it is recognised.
func cleaned(s Sound) Sound {
	out := Denoise(s)
	for i, v := range out.Samples {
		out.Samples[i] = int16((1-rawShare)*float64(v) + rawShare*float64(s.Samples[i]))
	}
	return levelled(out)
}

// judge says what can be said of a sound before it is recognised.
func judge(s Sound) Heard {
	h := Heard{Length: s.Length(), SNR: SNR(s)}
	switch {
	case h.Length < shortestNote:
		h.Fail = FailEmpty
	case h.SNR < leastSNR:
		h.Fail = FailLoud
	}
	return h
}

// choose takes what was recognised, if it fits well enough, and what else it
// could be.
func (e *Ear) choose(heard *Heard, l Listening, h Hypothesis) {
	if h.Text == "" || h.Score < leastScore || h.Worst < leastWord || h.Rest < leastRest {
		heard.Fail = FailTalk
		return
	}
	all := e.sphinx.lexicon().sentences(l.Context, e.readings(l.Context))
	said := all.meaning(h.Text)
	heard.Text = said.text
	if said.meaning.Kind == phrase.Reading {
		heard.Close = closeTo(l, all, said.meaning, h.Others)
		if other, ok := all.otherSide(said); ok && !slices.Contains(heard.Close, other) {
			heard.Close = append(heard.Close, other)
		}
	}
}

// sentences says what texts of one grammar mean.
type sentences struct {
	context  phrase.Context
	stations map[string]spoken  // by their words
	values   map[string]reading // of a direct rod, those that are in the grammar, by their words
}

func (s lexicon) sentences(c phrase.Context, all []reading) sentences {
	out := sentences{c, map[string]spoken{}, map[string]reading{}}
	for _, st := range s.stations(c) {
		out.stations[strings.Join(st.words, " ")] = st
	}
	for _, r := range all {
		out.values[strings.Join(r.words, " ")] = r
	}
	return out
}

// value reads the words behind a station.
func (s sentences) value(text string) (value reduce.Length, ok bool) {
	if s.context.Rod == reduce.Direct && s.values[text].words == nil {
		return 0, false
	}
	alone := s.context
	alone.Asked = reduce.Corner(1)
	m := phrase.Parse(alone, text)
	return m.Value, m.Kind == phrase.Reading
}

// meaning finds the station in a text of the grammar, and writes it so that the
// number behind it is not read as part of it. Where the words could be two
// stations, the one that the walk asks for is meant, else the shorter one:
// twenty, one eighth, not twenty one, eighth.
func (s sentences) meaning(text string) sentence {
	c := s.context
	out := sentence{text, phrase.Parse(c, text)}
	if out.meaning.Kind == phrase.Command {
		return out
	}
	words := strings.Fields(text)
	found, walked := false, false
	for n := 1; n < len(words); n++ {
		st, ok := s.stations[strings.Join(words[:n], " ")]
		if !ok {
			continue
		}
		said := strings.Join(words[n:], " ")
		value, ok := s.value(said)
		if !ok {
			continue
		}
		line, m := nameBefore(c, st.station, said, value)
		if m.Kind != phrase.Reading && found {
			continue
		}
		if !found || out.meaning.Kind != phrase.Reading || st.walked && !walked {
			out, found, walked = sentence{line, m}, true, st.walked
		}
	}
	return out
}

// otherSide is the same amount on the other side, for a reading that was heard in
// an order which few use: low an eighth is what on is heard as where it is said
// in some ways, and a side in doubt is to be confirmed.
func (s sentences) otherSide(heard sentence) (text string, ok bool) {
	r := s.values[heard.text]
	high, low := phrase.SideWords("en")
	if r.value == 0 || slices.Contains([]string{high, low}, r.words[len(r.words)-1]) {
		return "", false
	}
	for _, side := range []string{high, low} {
		text = side + " " + strings.Join(r.words[1:], " ")
		if s.values[text].value == -r.value {
			return text, true
		}
	}
	return "", false
}

// nameBefore writes a station before what was said of it: so that the number
// behind the one is not read as part of the other, with a comma (c1+4, point oh
// one high), or the value as a figure (bm 2.01).
func nameBefore(c phrase.Context, st reduce.Station, value string, shown reduce.Length) (line string, m phrase.Meaning) {
	name := st.Name(c.Outline.Grid.Mark)
	lines := []string{name + " " + value, name + ", " + value}
	if c.Rod == reduce.Standard {
		lines = append(lines, name+" "+c.Unit.RodFigure(shown, c.Finest))
	}
	for _, l := range lines {
		if m = phrase.Parse(c, l); m.Kind == phrase.Reading && m.Value == shown {
			return l, m
		}
	}
	return lines[0], phrase.Parse(c, lines[0])
}
