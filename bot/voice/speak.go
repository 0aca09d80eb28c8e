package voice

import (
	"context"
	"fmt"
	"unicode/utf8"
)

// Speaker makes a voice note of a sentence.
type Speaker interface {
	// Speak returns text as Opus in OGG, spoken in a language, "en" or "es".
	Speak(ctx context.Context, text, lang string) (note []byte, err error)
}

const (
	// longestText is how much is ever spoken at once, in characters: about half
	// a minute.
	longestText = 300
	// longestSpeech and longestNote bound what the programs may write, in bytes.
	longestSpeech = 16 << 20
	longestNote   = 1 << 20
)

// voices are the speaking program's names for the languages.
var voices = map[string]string{"en": "en-us", "es": "es-419"}

// synth speaks with espeak-ng, and encodes with opusenc.
type synth struct{ speak, encode string }

// FindSpeaker looks up espeak-ng and opusenc; [ErrNoEngine] where one of them
// is missing.
func FindSpeaker() (Speaker, error) {
	speak, err := findProgram("espeak-ng")
	if err != nil {
		return nil, err
	}
	encode, err := findProgram("opusenc")
	if err != nil {
		return nil, err
	}
	return synth{speak, encode}, nil
}

// Speak is an error for a language it has no voice for, for no text, and for
// more than 300 characters of it.
func (s synth) Speak(ctx context.Context, text, lang string) ([]byte, error) {
	voice, ok := voices[lang]
	if !ok {
		return nil, fmt.Errorf("no voice for the language %q", lang)
	}
	if n := utf8.RuneCountInString(text); n == 0 || n > longestText {
		return nil, fmt.Errorf("%d characters to speak: 1 to %d can be", n, longestText)
	}
	wav, err := run(ctx, []byte(text), longestSpeech, s.speak, "-v", voice, "-b", "1", "--stdin", "--stdout")
	if err != nil {
		return nil, err
	}
	return run(ctx, wav, longestNote, s.encode, "--quiet", "--speech", "--bitrate", "24", "-", "-")
}
