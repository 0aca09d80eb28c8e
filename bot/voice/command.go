package voice

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// grammarVariable names, to an operator's own command, the file that holds the
// grammar.
const grammarVariable = "RODCALL_GRAMMAR"

// longestAnswer is how much an operator's command may write, in bytes.
const longestAnswer = 4 << 10

// command is an operator's own recogniser: a program that reads a WAVE file (16
// bits, mono, 16 kHz) from standard input and writes what was said to standard
// output: the words on the first line, and on further lines, where it likes,
// what it could not rule out, likeliest first. It may use the grammar in the
// file that RODCALL_GRAMMAR names, in the JSpeech Grammar Format.
type command struct {
	argv      []string
	languages []string
	places    chan struct{}
	deadline  time.Duration
}

func newCommand(cfg Config) (*command, error) {
	path, err := findProgram(cfg.Command[0])
	if err != nil {
		return nil, err
	}
	return &command{append([]string{path}, cfg.Command[1:]...), cfg.Languages, make(chan struct{}, workersOf(cfg.Workers)), 30 * time.Second}, nil
}

// Languages are those of the configuration.
func (o *command) Languages() []string { return o.languages }

// Recognise returns the first line that the command wrote.
func (o *command) Recognise(ctx context.Context, s Sound, g Grammar) (Hypothesis, error) {
	lines, err := o.lines(ctx, s, g)
	if err != nil {
		return Hypothesis{}, err
	}
	if len(lines) == 0 {
		return Hypothesis{}, ErrNothing
	}
	return Hypothesis{Text: lines[0]}, nil
}

// lines are the lines that the command wrote, without empty ones.
func (o *command) lines(ctx context.Context, s Sound, g Grammar) ([]string, error) {
	select {
	case o.places <- struct{}{}:
		defer func() { <-o.places }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	ctx, stop := context.WithTimeout(ctx, o.deadline)
	defer stop()
	var variables []string
	if len(g.rules) > 0 {
		file, err := os.CreateTemp("", "rodcall-voice-*.jsgf")
		if err != nil {
			return nil, err
		}
		defer func() { _ = os.Remove(file.Name()) }()
		_, err = file.WriteString(g.JSGF())
		if err := errors.Join(err, file.Close()); err != nil {
			return nil, err
		}
		variables = []string{grammarVariable + "=" + file.Name()}
	}
	var wav bytes.Buffer
	if err := WriteWAV(&wav, s); err != nil {
		return nil, err
	}
	out, err := runWith(ctx, variables, wav.Bytes(), longestAnswer, o.argv[0], o.argv[1:]...)
	if err != nil {
		return nil, fmt.Errorf("the operator's recogniser: %w", err)
	}
	var lines []string
	for l := range strings.Lines(string(out)) {
		if l = strings.Join(strings.Fields(strings.ToValidUTF8(l, " ")), " "); l != "" {
			lines = append(lines, l)
		}
	}
	return lines, nil
}

// hearOwn hears a sound by the operator's command. It is given the sound as it
// came: a recogniser made for noise does worse with what a filter left. The
// grammar goes with it in English only, the language that it is made for.
func (e *Ear) hearOwn(ctx context.Context, s Sound, l Listening) Heard {
	heard := Heard{Length: s.Length(), SNR: SNR(s)}
	if heard.Length < shortestNote {
		heard.Fail = FailEmpty
		return heard
	}
	var g Grammar
	if l.Lang != "es" {
		any := lexicon{func(string) bool { return true }, func(a, b string) bool { return a == b }}
		var all []reading
		if l.Context.Rod == reduce.Direct {
			all = any.readings(l.Context)
		}
		g = any.grammar(l.Context, all)
	}
	lines, err := e.own.lines(ctx, s, g)
	if err != nil {
		e.config.Log.Error("a voice note could not be recognised", "error", err)
		heard.Fail = failOf(err)
		return heard
	}
	if len(lines) == 0 {
		heard.Fail = FailTalk
		return heard
	}
	first := phrase.Parse(l.Context, lines[0])
	if first.Kind == phrase.Refuse && (first.Why.Code == phrase.WhyNotUnderstood || first.Why.Code == phrase.WhyTooLong) {
		heard.Fail = FailTalk
		return heard
	}
	heard.Text = lines[0]
	seen := []reduce.Length{first.Value}
	for _, line := range lines[1:] {
		if m := phrase.Parse(l.Context, line); m.Kind == phrase.Reading && !slices.Contains(seen, m.Value) {
			heard.Close, seen = append(heard.Close, line), append(seen, m.Value)
		}
	}
	return heard
}
