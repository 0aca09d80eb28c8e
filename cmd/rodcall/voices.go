package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"

	"rodcall/bot"
	"rodcall/bot/voice"
	"rodcall/session"
)

// voiceFlags say what hears voice notes, and whether answers are spoken.
type voiceFlags struct {
	command   string   // of a recogniser: "auto", "off", or the operator's own
	languages []string // that the operator's own understands
	aloud     string   // "auto" or "off"
}

// check looks at what was typed.
func (v *voiceFlags) check() error {
	own := v.command != "auto" && v.command != "off"
	switch {
	case strings.TrimSpace(v.command) == "":
		return wrongly("--voice auto, --voice off, or a command: --voice 'recognise --words'", "--voice is empty")
	case v.aloud != "auto" && v.aloud != "off":
		return wrongly("--aloud auto or --aloud off", "--aloud does not take %q", v.aloud)
	case len(v.languages) > 0 && !own:
		return wrongly("--voice 'recognise --words' --voice-languages en,es", "--voice-languages is for a command of your own, named with --voice")
	}
	for _, l := range v.languages {
		if l != "en" && l != "es" {
			return wrongly("--voice-languages en,es", "--voice-languages: there is no language %q", l)
		}
	}
	if own && len(v.languages) == 0 {
		v.languages = []string{"en"}
	}
	return nil
}

// ears lets the bot use a recogniser, which knows nothing of conversations.
type ears struct{ *voice.Ear }

func (e ears) Hear(ctx context.Context, note []byte, l session.Listening) session.Heard {
	h := e.Ear.Hear(ctx, note, voice.Listening{Context: l.Context, Lang: l.Lang, Expect: l.Expect})
	return session.Heard{Text: h.Text, Close: h.Close, Fail: session.HeardFail(h.Fail)}
}

// Debian's packages of what hears and speaks.
const (
	hearingPackages  = "pocketsphinx pocketsphinx-en-us"
	speakingPackages = "espeak-ng opus-tools"
)

// voices finds what hears and what speaks, and says so in one line of the log.
// What is not installed is done without, but for a command that was named.
func voices(log *slog.Logger, v voiceFlags, cfg *bot.Config) error {
	var missing []string
	hears, speaks := "off", v.aloud
	if v.command != "off" {
		c := voice.Config{Log: log}
		if v.command != "auto" {
			c.Command, c.Languages = strings.Fields(v.command), v.languages
		}
		ear, err := voice.NewEar(c)
		switch {
		case err != nil:
			return fmt.Errorf("--voice: %w", err)
		case ear.Reason() == "":
			hears, cfg.Ear = strings.Join(ear.Languages(), ","), ears{ear}
		case v.command == "auto":
			hears, missing = "nothing", append(missing, hearingPackages)
		default:
			return failure("a program that reads WAV and prints words: --voice /usr/local/bin/recognise", "--voice: %s", ear.Reason())
		}
	}
	if v.aloud == "auto" {
		speaker, err := voice.FindSpeaker()
		switch {
		case err == nil:
			speaks, cfg.Speaker = "espeak-ng", speaker
		case errors.Is(err, voice.ErrNoEngine):
			speaks, missing = "nothing", append(missing, speakingPackages)
		default:
			return err
		}
	}
	attrs := []any{"hears", hears, "speaks", speaks}
	if len(missing) > 0 {
		attrs = append(attrs, "missing", "Debian packages "+strings.Join(missing, " "))
	}
	log.Info("voice notes", attrs...)
	return nil
}
