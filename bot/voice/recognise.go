package voice

import (
	"bufio"
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"rodcall/session/phrase"
)

// ErrNothing says that a recogniser made nothing of a sound that its grammar
// has.
var ErrNothing = errors.New("nothing recognised")

// Recogniser is a program that makes words of sound.
type Recogniser interface {
	// Recognise returns the sentence of the grammar that is likeliest;
	// ErrNothing where there is none.
	Recognise(ctx context.Context, s Sound, g Grammar) (Hypothesis, error)
	// Languages are those that it understands: "en", "es".
	Languages() []string
}

// Hypothesis is what a recogniser made of a sound.
type Hypothesis struct {
	Text string
	// Score is how well the sound fits the words, a hundredth of a second, in the
	// recogniser's own measure: 0 is best, less is worse.
	Score float64
	// Worst is the score of the word that fits worst.
	Worst float64
	// Rest is the score of the longer stretch between or beside the words, taken
	// for silence, that fits worst.
	Rest float64
	// Others are other sentences that the recogniser had in mind, each with how
	// much worse it fits in all, a hundredth of a second. Some of them may be no
	// sentence of the grammar.
	Others []Other
}

// Other is what may have been said instead.
type Other struct {
	Text   string
	Behind float64
}

// sphinx is Debian's pocketsphinx with its model for American English.
type sphinx struct {
	program  string // pocketsphinx_batch
	model    string // the directory of its acoustic model
	dict     map[string][]string
	places   chan struct{} // one for each process that may run at once
	deadline time.Duration
}

// sphinxModel is where Debian's package pocketsphinx-en-us puts its model.
const sphinxModel = "/usr/share/pocketsphinx/model/en-us"

// newSphinx finds pocketsphinx, and reads of its dictionary what the table of
// words has. ErrNoEngine where the program or the model is missing.
func newSphinx(workers int) (*sphinx, error) {
	program, err := findProgram("pocketsphinx_batch")
	if err != nil {
		return nil, err
	}
	s := &sphinx{program: program, model: filepath.Join(sphinxModel, "en-us"), places: make(chan struct{}, workersOf(workers)), deadline: 20 * time.Second}
	f, err := os.Open(filepath.Join(sphinxModel, "cmudict-en-us.dict"))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoEngine, err)
	}
	defer func() { _ = f.Close() }()
	if err := s.readDict(f); err != nil {
		return nil, fmt.Errorf("read %s: %w", f.Name(), err)
	}
	if _, err := os.Stat(filepath.Join(s.model, "mdef")); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoEngine, err)
	}
	return s, nil
}

// workersOf is how many processes may run at once.
func workersOf(configured int) int {
	if configured < 1 {
		return runtime.NumCPU()
	}
	return configured
}

// lexicon makes grammars of the words in the dictionary.
func (s *sphinx) lexicon() lexicon { return lexicon{s.knows, s.same} }

// readDict reads a dictionary in CMU's form, a word and its phones a line;
// word(2) is another way to say the word.
func (s *sphinx) readDict(r io.Reader) error {
	wanted := map[string]bool{}
	for _, text := range allTexts() {
		for _, w := range strings.Fields(text) {
			wanted[w] = true
		}
	}
	s.dict = map[string][]string{}
	in := bufio.NewScanner(r)
	for in.Scan() {
		word, said, ok := strings.Cut(strings.TrimSpace(in.Text()), " ")
		if !ok {
			continue
		}
		if base, _, ok := strings.Cut(word, "("); ok {
			word = base
		}
		if wanted[word] {
			s.dict[word] = append(s.dict[word], accents(strings.Fields(said))...)
		}
	}
	return in.Err()
}

// accents are the ways in which a word is said where it is said so in America:
// as there; without the R before a consonant and at the end; with the long A of
// the south of England before F, S and TH; with both (Wells, Accents of
// English, 1982, on NURSE, lettER and BATH; from memory).
func accents(phones []string) []string {
	vowel := func(i int) bool { return i < len(phones) && strings.ContainsRune("AEIOU", rune(phones[i][0])) }
	var soft, long, both []string
	for i, p := range phones {
		a := p
		if p == "AE" && i+1 < len(phones) && slices.Contains([]string{"F", "S", "TH"}, phones[i+1]) {
			a = "AA"
		}
		long = append(long, a)
		if p == "R" && i > 0 && !vowel(i+1) {
			continue
		}
		if p == "ER" && !vowel(i+1) {
			p, a = "AH", "AH"
		}
		soft, both = append(soft, p), append(both, a)
	}
	var out []string
	for _, way := range [][]string{phones, soft, long, both} {
		if text := strings.Join(way, " "); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// allTexts are the texts of all tables that a grammar may take from.
func allTexts() []string {
	var out []string
	for _, w := range phrase.Words() {
		out = append(out, w.Text)
	}
	for _, c := range phrase.Commands() {
		out = append(out, c.English...)
	}
	return append(out, phrase.SpokenWords()...)
}

func (s *sphinx) knows(word string) bool { return s.dict[word] != nil }

// same says that two words sound alike.
func (s *sphinx) same(a, b string) bool {
	return a == b || len(s.dict[a]) > 0 && len(s.dict[b]) > 0 && slices.Contains(s.dict[a], s.dict[b][0])
}

func (s *sphinx) Languages() []string { return []string{"en"} }

func (s *sphinx) Recognise(ctx context.Context, sound Sound, g Grammar) (Hypothesis, error) {
	out, err := s.recognise(ctx, []pass{{sound, g}})
	if err != nil {
		return Hypothesis{}, err
	}
	if out[0].Text == "" {
		return Hypothesis{}, ErrNothing
	}
	return out[0], nil
}

// pass is one sound to be recognised by one grammar.
type pass struct {
	sound   Sound
	grammar Grammar
}

// recognise runs all passes: one process for the voices of men and one for
// those of women and children, as far as there are any. A hypothesis without a
// text is a sound that the grammar has no sentence for.
func (s *sphinx) recognise(ctx context.Context, passes []pass) ([]Hypothesis, error) {
	out := make([]Hypothesis, len(passes))
	at := map[string][]int{} // by warp
	for i, p := range passes {
		warp := warpOf(p.sound)
		at[warp] = append(at[warp], i)
	}
	for warp, these := range at {
		part := make([]pass, len(these))
		for k, i := range these {
			part[k] = passes[i]
		}
		heard, err := s.batch(ctx, part, warp)
		if err != nil {
			return nil, err
		}
		for k, i := range these {
			out[i] = heard[k]
		}
	}
	return out, nil
}

// How far the frequencies of a sound are brought down before they are held
// against the model: shorter throats have higher ones (Lee and Rose, Speaker
// normalization using efficient frequency warping procedures, 1996; from
// memory). Of 60 full notes of three tuning voices, two of them of 170 to 210 Hz,
// 57 were right with 1.2 and with 1.28, and 53 with 1.12.
const (
	lowVoice  = "1"
	highVoice = "1.2"
	highPitch = 155 // Hz: between the voices of men and of women
)

func warpOf(s Sound) string {
	if pitch(s) > highPitch {
		return highVoice
	}
	return lowVoice
}

// batch runs passes in one process.
func (s *sphinx) batch(ctx context.Context, passes []pass, warp string) ([]Hypothesis, error) {
	select {
	case s.places <- struct{}{}:
		defer func() { <-s.places }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	ctx, stop := context.WithTimeout(ctx, s.deadline)
	defer stop()
	dir, err := os.MkdirTemp("", "rodcall-voice-")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	if err := s.write(dir, passes); err != nil {
		return nil, err
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	// All senones are scored in all frames: else a score would hang on what else
	// the grammar has, and could not be held against a threshold.
	_, err = run(ctx, nil, 1<<20, s.program, "-warp_type", "inverse_linear", "-warp_params", warp, "-hmm", s.model, "-dict", at("dict"), "-compallsen", "yes", "-remove_noise", "no", "-topn", mixtures,
		"-beam", "1e-60", "-pbeam", "1e-60", "-wbeam", "1e-40",
		"-ctl", at("sounds"), "-cepdir", dir, "-cepext", ".raw", "-adcin", "yes",
		"-fsgctl", at("grammars"), "-fsgdir", dir, "-fsgext", ".fsg",
		"-hypseg", at("heard"), "-nbest", strconv.Itoa(otherMost), "-nbestdir", dir, "-nbestext", ".others", "-logfn", "/dev/null")
	if err != nil {
		return nil, err
	}
	heard, err := os.ReadFile(at("heard"))
	if err != nil {
		return nil, err
	}
	lines := bytes.Split(bytes.TrimRight(heard, "\n"), []byte("\n"))
	if len(lines) != len(passes) {
		return nil, fmt.Errorf("%d sounds were heard, not %d", len(lines), len(passes))
	}
	out := make([]Hypothesis, len(passes))
	for i, line := range lines {
		frames := 0
		if out[i], frames, err = readHypothesis(string(line)); err != nil {
			return nil, err
		}
		others, err := os.ReadFile(at(soundName(i) + ".others"))
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
		if frames > 0 {
			out[i].Others = readOthers(string(others), out[i].Text, frames)
		}
	}
	return out, nil
}

// mixtures is of how many normal distributions, the likeliest of 128, a state of
// the model is scored: with 8 four more of 242 notes of the hard voices were
// right than with the recogniser's own 4.
const mixtures = "8"

// longStretch is how many frames beside the words can hold a word.
const longStretch = 15

// otherMost is how many sentences are read out of the recogniser's lattice;
// most are the same words at other times.
const otherMost = 300

func soundName(i int) string { return "s" + strconv.Itoa(i) }

// write leaves in dir all that a batch takes.
func (s *sphinx) write(dir string, passes []pass) error {
	var sounds, grammars, dict strings.Builder
	files := map[string]string{}
	words := map[string]bool{}
	names := map[string]string{} // of the grammars written so far
	for i, p := range passes {
		if len(p.sound.Samples) == 0 {
			return ErrEmpty
		}
		raw, err := binary.Append(nil, binary.LittleEndian, p.sound.Samples)
		if err != nil {
			return err
		}
		files[soundName(i)+".raw"] = string(raw)
		sounds.WriteString(soundName(i) + "\n")
		key := p.grammar.fsg("g")
		if names[key] == "" {
			names[key] = "g" + strconv.Itoa(len(names))
			files[names[key]+".fsg"] = p.grammar.fsg(names[key])
			for _, w := range p.grammar.Words() {
				words[w] = true
			}
		}
		grammars.WriteString(names[key] + "\n")
	}
	for w := range words {
		for i, said := range s.dict[w] {
			if i > 0 {
				fmt.Fprintf(&dict, "%s(%d) %s\n", w, i+1, said)
				continue
			}
			fmt.Fprintf(&dict, "%s %s\n", w, said)
		}
	}
	files["sounds"], files["grammars"], files["dict"] = sounds.String(), grammars.String(), dict.String()
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o600); err != nil {
			return err
		}
	}
	return nil
}

// readHypothesis reads a line of what -hypseg writes: its sound, S and a scale,
// T and the score, A and L and their parts of it, then each word behind its
// first frame and its two scores, and last the frame in which it ends. frames
// is how many frames the words take.
func readHypothesis(line string) (h Hypothesis, frames int, err error) {
	f := strings.Fields(line)
	if len(f) < 10 || f[1] != "S" || f[3] != "T" {
		return h, 0, fmt.Errorf("not a line of -hypseg: %q", line)
	}
	numbers := make([]int, len(f))
	for k := 9; k < len(f); k++ {
		if k%4 != 0 || k == len(f)-1 {
			if numbers[k], err = strconv.Atoi(f[k]); err != nil {
				return h, 0, fmt.Errorf("not a number: %q of %q", f[k], line)
			}
		}
	}
	var words []string
	for k := 9; k+4 < len(f); k += 4 {
		took, score := numbers[k+4]-numbers[k], float64(numbers[k+1])
		w, _, _ := strings.Cut(f[k+3], "(")
		if w == "" || w[0] == '<' || w[0] == '[' { // silence, breath
			if took >= longStretch {
				h.Rest = min(h.Rest, score/float64(took))
			}
			continue
		}
		words = append(words, w)
		frames += took
		h.Score += score
		if fit := score / float64(max(took, 1)); len(words) == 1 || fit < h.Worst {
			h.Worst = fit
		}
	}
	h.Text = strings.Join(words, " ")
	h.Score /= float64(max(frames, 1))
	return h, frames, nil
}

// readOthers reads a list of -nbest, a sentence and its score a line, and keeps
// the best of each sentence that is not the one heard.
func readOthers(list, heard string, frames int) []Other {
	var out []Other
	best := 0.0
	for line := range strings.Lines(list) {
		f := strings.Fields(line)
		if len(f) < 2 {
			continue
		}
		score, err := strconv.ParseFloat(f[len(f)-1], 64)
		text := strings.Join(f[:len(f)-1], " ")
		if err != nil || slices.ContainsFunc(out, func(o Other) bool { return o.Text == text }) {
			continue
		}
		if text == heard {
			best = score
		}
		out = append(out, Other{text, score})
	}
	if best == 0 && len(out) > 0 {
		best = out[0].Behind
	}
	out = slices.DeleteFunc(out, func(o Other) bool { return o.Text == heard })
	for i := range out {
		out[i].Behind = (best - out[i].Behind) / float64(frames)
	}
	return out
}
