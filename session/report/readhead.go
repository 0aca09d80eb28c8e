package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"regexp"
	"strconv"

	"rodcall/session"
)

// headMark begins the keywords of a PDF; the job, the event's number and its
// hash follow, with colons between.
const headMark = "rodcall-head:"

// inPDF finds the mark in a PDF of ours.
var inPDF = regexp.MustCompile(headMark + `([^:()\\\x00-\x20]+):([1-9]\d{0,18}):([0-9a-f]{64})\)`)

// ErrNoHead says that a report does not tell what it was made from.
var ErrNoHead = errors.New("it does not tell which event it was made from")

// ReadHead finds in an export, JSON, or in papers, PDF as WritePDF wrote it, the
// job and the event that they were made from. It returns ErrNoHead where it does
// not stand there.
func ReadHead(written []byte) (job string, head Head, err error) {
	if bytes.HasPrefix(written, []byte("%PDF-")) {
		m := inPDF.FindSubmatch(written)
		if m == nil {
			return "", Head{}, ErrNoHead
		}
		seq, err := strconv.ParseUint(string(m[2]), 10, 64)
		if err != nil {
			return "", Head{}, ErrNoHead
		}
		head.Seq = seq
		return string(m[1]), head, head.Hash.UnmarshalText(m[3])
	}
	var d struct {
		Job   struct{ ID string }
		Chain *struct {
			Event uint64
			Head  session.Hash
		}
	}
	if err := json.Unmarshal(written, &d); err != nil || d.Chain == nil || d.Chain.Event == 0 || d.Job.ID == "" {
		return "", Head{}, ErrNoHead
	}
	return d.Job.ID, Head{d.Chain.Event, d.Chain.Head}, nil
}
