package voice

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/reduce"
)

// note is a real voice note, of whatever words.
func note(t *testing.T) []byte {
	t.Helper()
	return read(t, "note.opus")
}

func listening(t *testing.T) Listening {
	return Listening{Context: site(t, reduce.Direct, reduce.UnitInch), Lang: "en"}
}

// own is an ear whose recogniser is a line of shell.
func own(t *testing.T, script string, languages ...string) *Ear {
	t.Helper()
	e, err := NewEar(Config{Command: []string{"sh", "-c", script}, Languages: languages, Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	if e.Reason() != "" {
		t.Fatal(e.Reason())
	}
	return e
}

// TestOwnCommand: what an operator's command writes is what was heard, and
// further lines are what it could not rule out.
func TestOwnCommand(t *testing.T) {
	for _, test := range []struct {
		script, text string
		close        []string
		fail         Fail
	}{
		{"echo three eighths low", "three eighths low", nil, ""},
		{"printf '  three  eighths low \\n\\nthree eighths high\\n3/8 low\\nhello\\n'", "three eighths low", []string{"three eighths high"}, ""},
		{"test $(head -c 4) = RIFF && echo on", "on", nil, ""},
		{"grep -q 'public <sentence>' $RODCALL_GRAMMAR && echo undo", "undo", nil, ""},
		{"echo c9 3/8 low", "c9 3/8 low", nil, ""}, // refused where it is read
		{"echo turn the radio down", "", nil, FailTalk},
		{"true", "", nil, FailTalk},
		{"exit 3", "", nil, FailEngine},
		{"yes three eighths low", "", nil, FailEngine}, // without end
	} {
		h := own(t, test.script).Hear(t.Context(), note(t), listening(t))
		if h.Text != test.text || !slices.Equal(h.Close, test.close) || h.Fail != test.fail {
			t.Errorf("%s: heard %+v", test.script, h)
		}
	}
}

func TestOwnLanguages(t *testing.T) {
	l := listening(t)
	l.Lang = "es"
	if h := own(t, "echo 3/8 bajo").Hear(t.Context(), note(t), l); h.Fail != FailLanguage {
		t.Errorf("English only: heard %+v", h)
	}
	script := `test -z "$RODCALL_GRAMMAR" && echo tres octavos bajo`
	if h := own(t, script, "en", "es").Hear(t.Context(), note(t), l); h.Text != "tres octavos bajo" {
		t.Errorf("both languages: heard %+v", h)
	}
}

// TestHearFails: each thing that can be wrong with a note has its own answer.
func TestHearFails(t *testing.T) {
	e := own(t, "echo on")
	for _, test := range []struct {
		name string
		note []byte
		fail Fail
	}{
		{"nothing", nil, FailEmpty},
		{"no note", []byte("hello"), FailBroken},
		{"half a note", note(t)[:700], FailBroken},
	} {
		if h := e.Hear(t.Context(), test.note, listening(t)); h.Fail != test.fail || h.Text != "" {
			t.Errorf("%s: heard %+v", test.name, h)
		}
	}
	e.config.MaxNote = 100 * time.Millisecond
	if h := e.Hear(t.Context(), note(t), listening(t)); h.Fail != FailLong {
		t.Errorf("a long note: heard %+v", h)
	}
	for range cap(e.room) {
		e.room <- struct{}{}
	}
	if h := e.Hear(t.Context(), note(t), listening(t)); h.Fail != FailBusy {
		t.Errorf("one note too many: heard %+v", h)
	}
}

// TestHearStops: a recogniser that hangs is killed when the time is up.
func TestHearStops(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer stop()
	if h := own(t, "sleep 600 & sleep 600").Hear(ctx, note(t), listening(t)); h.Fail != FailBusy {
		t.Errorf("heard %+v", h)
	}
}

// TestNoEngine: without a recogniser an ear says so.
func TestNoEngine(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	for _, command := range [][]string{nil, {"no-such-recogniser"}} {
		e, err := NewEar(Config{Command: command})
		if err != nil {
			t.Fatal(err)
		}
		if e.Reason() == "" || e.Languages() != nil {
			t.Errorf("%v: reason %q, languages %v", command, e.Reason(), e.Languages())
		}
		if h := e.Hear(t.Context(), note(t), listening(t)); h.Fail != FailEngine {
			t.Errorf("%v: heard %+v", command, h)
		}
	}
}

// TestReadHypothesis reads lines as pocketsphinx_batch writes them.
func TestReadHypothesis(t *testing.T) {
	h, frames, err := readHypothesis("s0 S 0 T -3932 A -3404 L -528 0 -1411 -103 one 28 -1233 -44 an(2) 91 -554 -44 low 122 -206 -337 <sil> 151")
	if err != nil || h.Text != "one an low" || frames != 122 || h.Score != -(1411.+1233+554)/122 || h.Worst != -1411./28 || h.Rest != -206./29 {
		t.Errorf("%+v, %d frames, %v", h, frames, err)
	}
	if h, frames, err = readHypothesis("s1 S 0 T 0 A 0 L 0 151"); err == nil && (h.Text != "" || frames != 0) {
		t.Errorf("of nothing: %+v", h)
	}
	for _, line := range []string{"", "s0", "s0 S 0 T x A 0 L 0 0 -1 -1 on 3 y"} {
		if _, _, err := readHypothesis(line); err == nil {
			t.Errorf("%q was read", line)
		}
	}
}

func TestReadOthers(t *testing.T) {
	got := readOthers("one low -3400\nfive low -3500\nfive low -3600\n(null) -1\none low -3900\n", "one low", 100)
	want := []Other{{"five low", 1}, {"(null)", -33.99}}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestAccents: how words are said elsewhere follows from how they are said in
// America.
func TestAccents(t *testing.T) {
	for said, want := range map[string]string{
		"HH AE F":           "HH AE F|HH AA F",
		"K W AO R T ER":     "K W AO R T ER|K W AO T AH",
		"EY T TH S":         "EY T TH S",
		"P AE R TH AE S":    "P AE R TH AE S|P AE TH AE S|P AE R TH AA S|P AE TH AA S",
		"S IH K S T IY N R": "S IH K S T IY N R|S IH K S T IY N",
	} {
		if got := strings.Join(accents(strings.Fields(said)), "|"); got != want {
			t.Errorf("%s: %s, want %s", said, got, want)
		}
	}
}
