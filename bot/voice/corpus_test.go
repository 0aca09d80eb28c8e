package voice

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// talker is a synthetic voice.
type talker struct{ program, voice string }

// tuning are the voices that thresholds were set by, hard more of them, whose
// accents and pitches the model takes badly; reporting are those that figures
// are given of. Of the settings one alone was chosen by the latter: otherSide,
// which changes no word that is heard.
var (
	tuning = []talker{
		{"espeak-ng", "en-us"}, {"espeak-ng", "en-us+f2"}, {"espeak-ng", "en-gb-x-rp"}, {"espeak-ng", "en-us+f4"}, {"espeak-ng", "en-gb+f1"},
		{"flite", "kal16"}, {"flite", "awb"}, {"festival", "kal_diphone"}, {"festival", "ked_diphone"},
	}
	hard = []talker{
		{"espeak-ng", "en-gb-x-gbclan"}, {"espeak-ng", "en-gb-x-gbcwmd"}, {"espeak-ng", "en-029"}, {"espeak-ng", "en-us+f5"},
		{"espeak-ng", "en-us+linda"}, {"espeak-ng", "en-us+steph"}, {"espeak-ng", "en-us+Annie"}, {"espeak-ng", "en-us+m7"},
		{"espeak-ng", "en-us+adam"}, {"espeak-ng", "en-gb+f2"}, {"espeak-ng", "en-us+croak"},
	}
	reporting = []talker{
		{"espeak-ng", "en-gb"}, {"espeak-ng", "en-us+f3"}, {"espeak-ng", "en-us+m3"}, {"espeak-ng", "en-gb-scotland"}, {"espeak-ng", "en-us-nyc"},
		{"flite", "rms"}, {"flite", "slt"}, {"festival", "cmu_us_slt_arctic_hts"},
	}
)

// say has the voice say all lines, each as sound by itself.
func (v talker) say(ctx context.Context, dir string, lines []string) ([]Sound, error) {
	file := func(i int) string { return filepath.Join(dir, fmt.Sprintf("%d.wav", i)) }
	if v.program == "festival" {
		var script strings.Builder
		fmt.Fprintf(&script, "(voice_%s)\n", v.voice)
		for i, l := range lines {
			fmt.Fprintf(&script, "(utt.save.wave (utt.synth (Utterance Text %q)) %q 'riff)\n", l, file(i))
		}
		path := filepath.Join(dir, "say.scm")
		if err := os.WriteFile(path, []byte(script.String()), 0o600); err != nil {
			return nil, err
		}
		if out, err := exec.CommandContext(ctx, v.program, "-b", path).CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%s: %w: %s", v, err, out)
		}
	}
	var sounds []Sound
	for i, l := range lines {
		var cmd *exec.Cmd
		switch v.program {
		case "espeak-ng":
			cmd = exec.CommandContext(ctx, v.program, "-v", v.voice, "-w", file(i), l)
		case "flite":
			cmd = exec.CommandContext(ctx, v.program, "-voice", v.voice, "-t", l, "-o", file(i))
		}
		if cmd != nil {
			if out, err := cmd.CombinedOutput(); err != nil {
				return nil, fmt.Errorf("%s: %w: %s", v, err, out)
			}
		}
		wav, err := os.ReadFile(file(i))
		if err != nil {
			return nil, err
		}
		s, err := ReadWAV(bytes.NewReader(wav))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", v, err)
		}
		sounds = append(sounds, s)
	}
	return sounds, nil
}

func (v talker) String() string { return v.program + " " + v.voice }

// withNoise adds pink noise so many decibels below the mean power of the sound,
// and half a second of it at either end, as a note begins before the voice does.
func withNoise(s Sound, decibels float64, seed uint64) Sound {
	quiet := soundRate / 2
	x := make([]float64, len(s.Samples)+2*quiet)
	for i, v := range s.Samples {
		x[quiet+i] = float64(v)
	}
	noise := make([]float64, len(x))
	if !math.IsInf(decibels, 1) {
		noise = noiseKinds["pink"](rand.New(rand.NewPCG(seed, 0)), len(x))
		spoken := meanSquare(x) * float64(len(x)) / float64(len(s.Samples))
		factor := math.Sqrt(spoken/meanSquare(noise)) * math.Pow(10, -decibels/20)
		for i := range noise {
			noise[i] *= factor
		}
	}
	out := Sound{Samples: make([]int16, len(x)), Rate: s.Rate}
	for i := range x {
		out.Samples[i] = clip(x[i] + noise[i])
	}
	return out
}

// asNote is a sound as a voice note carries it: Opus in OGG, 24 kbit/s.
func asNote(ctx context.Context, s Sound) ([]byte, error) {
	var wav bytes.Buffer
	if err := WriteWAV(&wav, s); err != nil {
		return nil, err
	}
	return run(ctx, wav.Bytes(), longestNote, "opusenc", "--quiet", "--speech", "--bitrate", "24", "-", "-")
}

// needEngines skips where a program that the measure takes is missing.
func needEngines(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it takes half a minute")
	}
	for _, p := range []string{"pocketsphinx_batch", "espeak-ng", "flite", "festival", "opusenc"} {
		if _, err := findProgram(p); errors.Is(err, ErrNoEngine) {
			t.Skip(err)
		}
	}
}

// sixteenths are amounts as they are said.
var sixteenths = []string{
	"a sixteenth", "an eighth", "three sixteenths", "a quarter", "five sixteenths", "three eighths", "seven sixteenths", "a half",
	"nine sixteenths", "five eighths", "eleven sixteenths", "three quarters", "thirteen sixteenths", "seven eighths", "fifteen sixteenths",
}

// shortLines are notes for the station asked for: every amount to 15/16 in on
// both sides, larger ones, other ways to say them, no difference, commands.
func shortLines() []string {
	var out []string
	for _, a := range sixteenths {
		out = append(out, a+" low", a+" high")
	}
	return append(out,
		"one eighth low", "one sixteenth high", "one quarter high", "half low", "half an inch high", "quarter inch low",
		"three eighths of an inch high", "five sixteenths of an inch low", "an eighth of an inch low", "seven eighths of an inch high",
		"low three eighths", "high five eighths", "low seven sixteenths", "high an eighth",
		"minus three eighths", "minus nine sixteenths", "plus a quarter", "minus five eighths",
		"on", "level", "on grade", "dead on",
		"one and three eighths low", "an inch and a quarter high", "one inch low", "one and a half high", "one and five sixteenths low",
		"two inches low", "one and seven eighths high", "an inch and an eighth low",
		"undo", "scratch that", "skip", "no", "done", "repeat that",
	)
}

// fullLines are notes that name their station; nth turns both, so that voices
// say different ones.
func fullLines(nth, count int) []string {
	stations := []string{
		"corner one", "corner two", "c three", "c four", "corner one plus four", "corner one plus eight", "corner one plus twelve", "corner one plus sixteen",
		"corner one plus twenty", "c one plus twenty four", "corner one plus twenty eight", "corner one plus thirty two", "corner one plus thirty six",
		"c two plus four", "corner two plus eight", "corner two plus twelve", "corner two plus sixteen", "c two plus twenty", "corner two plus twenty four",
		"corner three plus four", "c three plus eight", "corner three plus twelve", "corner three plus sixteen", "corner three plus thirty two",
		"corner four plus four", "corner four plus eight", "c four plus sixteen", "corner four plus twenty four", "pier one", "benchmark",
	}
	var out []string
	for i := range count {
		k := nth*count + i
		amount := sixteenths[k*7%len(sixteenths)] + []string{" low", " high"}[k/2%2]
		if k%13 == 5 {
			amount = []string{"on", "level", "on grade"}[k%3]
		}
		out = append(out, stations[k%len(stations)]+" "+amount)
	}
	return out
}

// foreignLines name stations that the job does not have.
func foreignLines() []string {
	return []string{
		"corner seven three eighths low", "corner nine a quarter high", "corner five plus eight an eighth low", "corner six half high",
		"pier four three sixteenths low", "pier two a quarter low", "corner eight plus twelve three eighths high", "corner eleven five eighths low",
		"corner two plus thirty six a quarter low", "corner two plus forty an eighth high", "corner four plus thirty two three eighths low", "c five plus four seven eighths high",
	}
}

// chatter is other talk on a site, some of it with numbers and words of ours.
func chatter() []string {
	return []string{
		"hey can you grab me another bag of mortar", "what time are we going to lunch", "I think it is going to rain later",
		"did you see the game last night", "put it over there by the truck", "we need three more bags of concrete",
		"call me back when you get this", "who left the gate open", "the boss wants to see you in the trailer",
		"turn the radio down please", "where did you put the tape measure", "that wall looks crooked to me",
		"we should be finished by Friday", "bring the forklift around to the back", "I need two guys over here",
		"watch your step there is a hole", "hold the ladder while I go up", "somebody moved my coffee",
		"it is about eight feet from here", "he said the delivery is at half past nine", "the price went up five dollars a sheet",
		"are those the new boots you bought", "my phone is almost dead", "let me know when the inspector gets here",
		"one two three testing", "I will be there in a quarter of an hour", "they poured the slab on Tuesday",
		"keep your eyes on the road", "the pump is running low on gas", "we have got eleven days left on this job",
	}
}
