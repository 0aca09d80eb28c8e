package report

import (
	"strconv"
	"strings"

	"rodcall/session"
)

// Sources are what a report takes from beside the job itself.
type Sources struct {
	Names  Names
	Photos Photos // nil: photos are told in words
	Head   Head
}

// Names gives the name now known for a person, "" for one who is unknown or
// forgotten.
type Names func(session.PersonID) string

// Photos gives the bytes of a photo, a JPEG, by their hash; nil for one that is
// not kept.
type Photos func(session.Hash) []byte

// Head is the newest event of the log that a report was made from. Printed, it
// anchors the log: whoever changes an event up to there changes this hash. The
// zero value is one that is not known, and is told nowhere.
type Head struct {
	Seq  uint64
	Hash session.Hash // of the event's bytes as stored
}

// How many digits of a hash are told: on a drawing enough to look it up (2^32
// tries make another event that has them), at the foot of papers and notes enough
// to anchor it (2^64).
const (
	digitsDrawn = 8
	digitsFoot  = 16
)

// digits are the first n hex digits of the hash, in fours.
func (h Head) digits(n int) string {
	var b strings.Builder
	for i, d := range h.Hash.String()[:n] {
		if i > 0 && i%4 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(d)
	}
	return b.String()
}

// say tells the head with n digits of its hash, "" where it is not known.
func (h Head) say(lang string, j *session.Job, n int) string {
	if h.Seq == 0 {
		return ""
	}
	return session.Say(lang, "paper.head", h.Seq, h.digits(n), j.ID)
}

// mark is the head as a program finds it in a file: see ReadHead.
func (h Head) mark(j *session.Job) string {
	if h.Seq == 0 {
		return ""
	}
	return headMark + j.ID + ":" + strconv.FormatUint(h.Seq, 10) + ":" + h.Hash.String()
}
