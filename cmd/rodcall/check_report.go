package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// anchor is an event that a report says it was made from.
type anchor struct {
	what   string // in words: "papers.pdf"
	asked  string // as it was asked for: "--report papers.pdf"
	job    string // "" for the only one of the file
	seq    uint64
	digits string // of the event's hash, the first ones at least
	export []byte // JSON, nil where there is none
}

// minDigits of a hash find an event. Somebody who wants to can make another that
// has them, by trying 2^32 times; with safeDigits it is 2^64.
const (
	minDigits  = 8
	safeDigits = 16
)

// readReport finds in a report what it was made from.
func readReport(db, path string) (anchor, error) {
	written, err := os.ReadFile(path)
	if err != nil {
		return anchor{}, failure("name papers or an export: rodcall check --db "+db+" --report papers.pdf", "read the report: %w", err)
	}
	job, head, err := report.ReadHead(written)
	if err != nil {
		return anchor{}, failure("if it stands on it, type it: rodcall check --db "+db+` --head "j1:57:3f2a 9c10"`, "%s: %w", path, err)
	}
	a := anchor{what: path, asked: "--report " + path, job: job, seq: head.Seq, digits: head.Hash.String()}
	if json.Valid(written) {
		a.export = written
	}
	return a, nil
}

// parseHead reads what stands at the foot of a report: "j1:57:3f2a 9c10", or with
// the words as they are printed.
func parseHead(db, text string) (anchor, error) {
	a := anchor{what: "--head " + text, asked: `--head "` + text + `"`}
	text = strings.ToLower(text)
	text = strings.NewReplacer("·", ":", "job ", "", "obra ", "", "evento ", "", "event ", "", "…", "").Replace(text)
	parts := strings.Split(strings.Join(strings.Fields(text), ""), ":")
	wrong := func(why string) error {
		return wrongly("rodcall check --db "+db+` --head "j1:57:3f2a 9c10"`, "--head: %s", why)
	}
	switch len(parts) {
	case 2:
	case 3:
		a.job, parts = parts[0], parts[1:]
	default:
		return a, wrong("want job, event and hash with a colon between each")
	}
	var err error
	if a.seq, err = strconv.ParseUint(parts[0], 10, 64); err != nil || a.seq == 0 {
		return a, wrong(fmt.Sprintf("%q is no number of an event", parts[0]))
	}
	a.digits = parts[1]
	if len(a.digits) < minDigits || len(a.digits) > len(session.Hash{}.String()) || strings.Trim(a.digits, "0123456789abcdef") != "" {
		return a, wrong(fmt.Sprintf("%q is no hash: want at least %d digits, 0 to 9 and a to f", parts[1], minDigits))
	}
	return a, nil
}

// hold holds an anchor against a file, and gives in words what fits, or what does
// not.
func (a anchor) hold(tx *store.Tx, db string) (held string, faults []string, err error) {
	if a.job == "" {
		headers, err := tx.Headers()
		if err != nil {
			return "", nil, err
		}
		if a.job, err = pick(db, "", headers); err != nil {
			return "", nil, err
		}
	}
	h, ok, err := tx.Header(a.job)
	switch {
	case err != nil:
		return "", nil, err
	case !ok:
		return "", []string{fmt.Sprintf("the report is of job %s, which the file does not hold", a.job)}, nil
	case h.Seq < a.seq:
		return "", []string{fmt.Sprintf("job %s: the report is of event %d, the file ends at %d: %d events are missing", a.job, a.seq, h.Seq, a.seq-h.Seq)}, nil
	}
	job, err := tx.JobAt(a.job, a.seq)
	broken := (*store.ChainError)(nil)
	if errors.As(err, &broken) {
		return "", []string{fmt.Sprintf("%v: the report cannot be held against what follows", err)}, nil
	}
	if err != nil {
		return "", nil, err
	}
	hash, err := tx.HashOf(a.job, a.seq)
	if err != nil {
		return "", nil, err
	}
	same := strings.HasPrefix(hash.String(), a.digits)
	if same {
		held = fmt.Sprintf("head: the file holds event %d of job %s with that hash: events 1 to %d are those that the report was made from; %d follow\n", a.seq, a.job, a.seq, h.Seq-a.seq)
		if len(a.digits) < safeDigits {
			held += fmt.Sprintf("head: by %d digits only: who writes a file anew can hit so few by trying; papers and notes have %d\n", len(a.digits), safeDigits)
		}
	} else {
		faults = append(faults, fmt.Sprintf("job %s, event %d: its hash is %.16s, the report has %.16s: it or one before it is another", a.job, a.seq, hash, a.digits))
	}
	if a.export == nil {
		return held, faults, nil
	}
	told, fault, err := a.compare(tx, job)
	if fault != "" {
		faults = append(faults, fault)
		if same {
			faults[len(faults)-1] += "; the events are the same, so the export was changed, or made by another version of rodcall"
		}
	} else {
		held += "export: " + told + "\n"
	}
	return held, faults, err
}

// compare makes an export anew from a job folded up to its event, and says
// what differs.
func (a anchor) compare(tx *store.Tx, job *session.Job) (held, fault string, err error) {
	known, err := tx.Names()
	if err != nil {
		return "", "", err
	}
	src := report.Sources{Names: func(p session.PersonID) string { return known[p] }, Head: report.Head{Seq: a.seq}}
	// The hash was compared already: what else differs is what is of interest.
	if err := src.Head.Hash.UnmarshalText([]byte(a.digits)); err != nil {
		return "", "", err
	}
	var b bytes.Buffer
	if err := report.WriteJSON(&b, job, src); err != nil {
		return "", "", err
	}
	ours, theirs := b.Bytes(), a.export
	if bytes.Equal(ours, theirs) {
		return "made anew as of that event, it is the same to the byte", "", nil
	}
	// Names are as they are known now: somebody may have been forgotten since.
	ours, theirs = nameless(ours), nameless(theirs)
	if bytes.Equal(ours, theirs) {
		return "made anew as of that event, it is the same but for names of people, which may have changed or been forgotten since", "", nil
	}
	line, our, their := firstDifference(ours, theirs)
	fault = fmt.Sprintf("line %d of the export is %s and would be %s, made anew from the file", line, their, our)
	if seq := firstReading(ours, theirs); seq > 0 {
		fault += fmt.Sprintf("; the first reading that differs is event %d", seq)
	}
	return "", fault, nil
}

// byLine is a line of an export that names a person.
var byLine = regexp.MustCompile(`(?m)^( *"by": ).*?(,?)$`)

func nameless(export []byte) []byte { return byLine.ReplaceAll(export, []byte("${1}null$2")) }

// firstDifference is the number of the first line that differs, from 1, and how
// it is in each; "nothing" where one ends before it.
func firstDifference(a, b []byte) (line int, inA, inB string) {
	x, y := bytes.Split(a, []byte("\n")), bytes.Split(b, []byte("\n"))
	at := func(lines [][]byte) string {
		if line > len(lines) {
			return "nothing"
		}
		return strings.TrimSuffix(string(bytes.TrimSpace(lines[line-1])), ",")
	}
	line = 1
	for line <= min(len(x), len(y)) && bytes.Equal(x[line-1], y[line-1]) {
		line++
	}
	return line, at(x), at(y)
}

// firstReading is the number of the first event among the readings of two exports
// that differs, 0 where all are the same.
func firstReading(a, b []byte) uint64 {
	x, y := readingsOf(a), readingsOf(b)
	for i := range max(len(x), len(y)) {
		switch {
		case i >= len(x):
			return y[i].seq
		case i >= len(y) || !bytes.Equal(x[i].raw, y[i].raw):
			return x[i].seq
		}
	}
	return 0
}

type exportedReading struct {
	seq uint64
	raw []byte
}

func readingsOf(export []byte) (out []exportedReading) {
	var d struct{ Readings []json.RawMessage }
	if json.Unmarshal(export, &d) != nil {
		return nil // nothing to say of it
	}
	for _, raw := range d.Readings {
		var r struct{ Seq uint64 }
		if json.Unmarshal(raw, &r) == nil {
			out = append(out, exportedReading{r.Seq, raw})
		}
	}
	return out
}
