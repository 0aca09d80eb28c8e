package voice

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"
)

// TestSpeak has sentences spoken by the programs of the machine, and decodes
// them.
func TestSpeak(t *testing.T) {
	speaker, err := FindSpeaker()
	if err != nil {
		t.Skip(err)
	}
	for lang, text := range map[string]string{
		"en": "c2 plus 4, three eighths low. Next: c2 plus 8.",
		"es": "c2 más 4, tres octavos abajo. Sigue: c2 más 8.",
	} {
		note, err := speaker.Speak(t.Context(), text, lang)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Decode(note, time.Minute)
		if err != nil {
			t.Fatal(err)
		}
		if s.Length() < 2*time.Second || s.Length() > 10*time.Second || SNR(s) < 20 {
			t.Errorf("%s: %v, %.0f dB", lang, s.Length(), SNR(s))
		}
	}
	// The longest text that may be is spoken whole.
	note, err := speaker.Speak(t.Context(), strings.Repeat("año ", longestText/4), "es")
	if err != nil {
		t.Fatal(err)
	}
	if s, err := Decode(note, 5*time.Minute); err != nil || s.Length() < 20*time.Second {
		t.Errorf("%v, %v", s.Length(), err)
	}
	over, stop := context.WithCancel(t.Context())
	stop()
	if _, err := speaker.Speak(over, "low", "en"); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
}

// TestSpeakRefuses needs no program: none is started.
func TestSpeakRefuses(t *testing.T) {
	for _, test := range []struct{ text, lang string }{
		{"", "en"}, {strings.Repeat("ñ", longestText+1), "es"}, {"low", "fr"}, {"low", ""}, {"low", "en-us"},
	} {
		note, err := synth{"./none", "./none"}.Speak(t.Context(), test.text, test.lang)
		if err == nil || note != nil || strings.Contains(err.Error(), "./none") {
			t.Errorf("%.10q in %q: %v", test.text, test.lang, err)
		}
	}
}

func TestNoSpeaker(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if s, err := FindSpeaker(); s != nil || !errors.Is(err, ErrNoEngine) || !strings.Contains(err.Error(), "espeak-ng") {
		t.Errorf("%v, %v", s, err)
	}
}
