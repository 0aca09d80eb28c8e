package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"

	"rodcall/bot/voice"
)

// largestNote is the size in bytes to which a voice note is read.
const largestNote = 20 << 20

// recognising are Debian's packages of what recognises.
const recognising = "pocketsphinx pocketsphinx-en-us"

func runHear(ctx context.Context, s streams, args []string) error {
	f := newFlags("hear")
	job := jobFlags(f)
	lang := f.text("lang", "en")
	own := f.text("recogniser", "")
	file, err := f.parse(args, 1)
	if err != nil {
		return err
	}
	if len(file) == 0 {
		return wrongly("rodcall hear NOTE.ogg", "no voice note given")
	}
	if *lang != "en" && *lang != "es" {
		return wrongly("rodcall hear --lang en NOTE.ogg", "--lang %q: want en or es", *lang)
	}
	c, err := job.context()
	if err != nil {
		return err
	}
	info, err := os.Stat(file[0])
	if err != nil {
		return failure("name the file of a voice note, OGG with Opus in it", "%w", err)
	}
	if info.Size() > largestNote {
		return failure("a voice note is smaller than 20 MB", "%s has %d bytes", file[0], info.Size())
	}
	note, err := os.ReadFile(file[0])
	if err != nil {
		return failure("name the file of a voice note, OGG with Opus in it", "%w", err)
	}
	cfg := voice.Config{Command: strings.Fields(*own)}
	if *own != "" {
		cfg.Languages = []string{"en", "es"}
	}
	ear, err := voice.NewEar(cfg)
	if err != nil {
		return err
	}
	h := ear.Hear(ctx, note, voice.Listening{Context: c, Lang: *lang})
	if err := writeHeard(s, h); err != nil {
		return err
	}
	if h.Fail == voice.FailEngine {
		why := cmp.Or(ear.Reason(), "the recogniser broke down")
		if *own != "" {
			return failure("a program that reads WAV and prints words: --recogniser /usr/local/bin/recognise", "nothing can be heard: %s", why)
		}
		return failure("install Debian's packages "+recognising, "nothing can be heard: %s", why)
	}
	return nil
}

// heard is what was heard, as the outside sees it.
type heard struct {
	Text  *string  `json:"text"`
	Close []string `json:"close"`
	Fail  *string  `json:"fail"`
	// Seconds is how long the note is, SNR how far speech stands over noise, in
	// decibels; null where it is not known.
	Seconds *float64 `json:"seconds"`
	SNR     *float64 `json:"snr"`
}

func writeHeard(s streams, h voice.Heard) error {
	out := heard{Close: h.Close}
	if out.Close == nil {
		out.Close = []string{}
	}
	if h.Text != "" {
		out.Text = &h.Text
	}
	if fail := string(h.Fail); fail != "" {
		out.Fail = &fail
	}
	if h.Length > 0 {
		seconds := math.Round(h.Length.Seconds()*100) / 100
		out.Seconds = &seconds
		if snr := math.Round(h.SNR*10) / 10; !math.IsInf(snr, 0) && !math.IsNaN(snr) {
			out.SNR = &snr
		}
	}
	e := json.NewEncoder(s.out)
	e.SetEscapeHTML(false)
	if err := e.Encode(out); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return nil
}
