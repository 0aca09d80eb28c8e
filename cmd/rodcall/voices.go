package main

import (
	"errors"
	"log/slog"

	"rodcall/bot"
	"rodcall/bot/voice"
)

// voiceFlags say whether answers are spoken.
type voiceFlags struct {
	aloud string // "auto" or "off"
}

// check looks at what was typed.
func (v *voiceFlags) check() error {
	if v.aloud != "auto" && v.aloud != "off" {
		return wrongly("--aloud auto or --aloud off", "--aloud does not take %q", v.aloud)
	}
	return nil
}

// speakingPackages are Debian's packages of what speaks.
const speakingPackages = "espeak-ng opus-tools"

// voices finds what speaks, and says so in one line of the log. What is not
// installed is done without.
func voices(log *slog.Logger, v voiceFlags, cfg *bot.Config) error {
	attrs := []any{"speaks", v.aloud}
	if v.aloud == "auto" {
		speaker, err := voice.FindSpeaker()
		switch {
		case err == nil:
			attrs[1], cfg.Speaker = "espeak-ng", speaker
		case errors.Is(err, voice.ErrNoEngine):
			attrs = []any{"speaks", "nothing", "missing", "Debian packages " + speakingPackages}
		default:
			return err
		}
	}
	log.Info("voice notes", attrs...)
	return nil
}
