package term

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"rodcall/session"
)

// kind of a step.
type kind uint8

const (
	says    kind = iota + 1 // a text
	edits                   // the text of a message that was sent
	replies                 // to a message
	taps                    // a button or a key
	shows                   // a photo, with what is written with it
	speaks                  // a voice note, with what is heard in it
	waits                   // the clock moves
	restart                 // everything is closed and opened
	repeat                  // the last update comes again
)

// step is one line of a played chat.
type step struct {
	kind    kind
	speaker string // "": whoever spoke last
	target  string // message number for edits and replies, label for taps
	text    string
	wait    time.Duration
	heard   session.Heard // of a voice note
}

var (
	speakerForm = regexp.MustCompile(`^(\p{Ll}+): ?(.*)$`)
	numberForm  = regexp.MustCompile(`^(?:(\p{Ll}+) )?(edits|replies) (\S+): ?(.*)$`)
	showForm    = regexp.MustCompile(`^(?:(\p{Ll}+) )?shows: ?(.*)$`)
	tapForm     = regexp.MustCompile(`^(?:(\p{Ll}+) )?taps (.*)$`)
	speaksForm  = regexp.MustCompile(`^(?:(\p{Ll}+) )?speaks(?: \((close|fails): ([^)]*)\))?: ?(.*)$`)
	ownNumber   = regexp.MustCompile(`^[1-9][0-9]{0,8}$`)
	sentNumber  = regexp.MustCompile(`^b[1-9][0-9]{0,8}$`)
)

// isStep says whether a line of a script is a step at all: not blank and no
// comment.
func isStep(line string) bool {
	return strings.TrimSpace(line) != "" && !strings.HasPrefix(line, "#")
}

// parseStep reads a step. The error says what would work.
func parseStep(line string) (step, error) {
	switch {
	case line == "!restart":
		return step{kind: restart}, nil
	case line == "!repeat":
		return step{kind: repeat}, nil
	case strings.HasPrefix(line, "!"):
		return step{}, fmt.Errorf("no such step; there are !restart and !repeat, and `crew: %s` sends it as a text", line)
	case strings.HasPrefix(line, "@"):
		d, err := time.ParseDuration(strings.TrimPrefix(line, "@+"))
		if err != nil || d < 0 || !strings.HasPrefix(line, "@+") {
			return step{}, fmt.Errorf("no step of the clock; one is @+15s, another @+1h30m")
		}
		return step{kind: waits, wait: d}, nil
	}
	if m := numberForm.FindStringSubmatch(line); m != nil {
		return parseNumbered(line, m)
	}
	if m := showForm.FindStringSubmatch(line); m != nil {
		return step{kind: shows, speaker: m[1], text: breaks(m[2])}, nil
	}
	if m := tapForm.FindStringSubmatch(line); m != nil {
		label, err := strconv.Unquote(strings.TrimSpace(m[2]))
		if err != nil || m[2][0] != '"' {
			return step{}, fmt.Errorf("a tap names a label in quotes, as in `taps \"3/8 low\"`; `crew: %s` sends it as a text", line)
		}
		return step{kind: taps, speaker: m[1], target: label}, nil
	}
	if m := speaksForm.FindStringSubmatch(line); m != nil {
		return parseSpoken(m)
	}
	if m := speakerForm.FindStringSubmatch(line); m != nil && strings.HasPrefix(line, m[1]+": ") {
		return step{kind: says, speaker: m[1], text: breaks(m[2])}, nil
	}
	return step{kind: says, text: breaks(line)}, nil
}

// parseSpoken reads a voice note: what is heard in it and, in brackets, what else
// it may be, or why nothing is heard.
func parseSpoken(m []string) (step, error) {
	s := step{kind: speaks, speaker: m[1], heard: session.Heard{Text: strings.TrimSpace(m[4])}}
	switch m[2] {
	case "close":
		for c := range strings.SplitSeq(m[3], ";") {
			s.heard.Close = append(s.heard.Close, strings.TrimSpace(c))
		}
	case "fails":
		s.heard.Fail = session.HeardFail(strings.TrimSpace(m[3]))
	}
	if (s.heard.Text == "") == (s.heard.Fail == "") {
		return step{}, fmt.Errorf("a voice note holds words or fails, as in `ann speaks: three eighths low` or `ann speaks (fails: loud):`")
	}
	return s, nil
}

func parseNumbered(line string, m []string) (step, error) {
	s := step{kind: edits, speaker: m[1], target: m[3], text: breaks(m[4])}
	example := "edits 3: -1/4"
	ok := ownNumber.MatchString(s.target)
	if m[2] == "replies" {
		s.kind, example = replies, "replies 3: -1/4"
		ok = ok || sentNumber.MatchString(s.target)
	}
	if !ok {
		return step{}, fmt.Errorf("%q is no message number; one that works is `%s`, and `crew: %s` sends it as a text", s.target, example, line)
	}
	return s, nil
}

// breaks turns \n into a line break.
func breaks(text string) string { return strings.ReplaceAll(text, `\n`, "\n") }
