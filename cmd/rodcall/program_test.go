package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"image/png"
	"maps"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"go.etcd.io/bbolt"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/store"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"rodcall": func() {
			os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// TestProgram runs the scripts in testdata: what a user would type, and what
// comes of it.
func TestProgram(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"answered":  answered,
			"file":      makeFile,
			"meanings":  meanings,
			"png":       checkPNG,
			"read-head": readHead,
			"rewrite":   rewrite,
			"spoil":     spoil,
			"status":    exitStatus,
		},
		RequireUniqueNames: true,
	})
}

// exitStatus runs a command and checks its exit status: status 2 rodcall x.
func exitStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [argument ...]")
	}
	got := "0"
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		got = statusOf(err)
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}

func statusOf(err error) string {
	var e *exec.ExitError
	if errors.As(err, &e) {
		return strconv.Itoa(e.ExitCode())
	}
	return err.Error()
}

// meaningsOf reads what rodcall parse printed.
func meaningsOf(ts *testscript.TestScript, name string) []parsed {
	var all []parsed
	for line := range strings.Lines(ts.ReadFile(name)) {
		d := json.NewDecoder(strings.NewReader(line))
		d.DisallowUnknownFields()
		var p parsed
		ts.Check(d.Decode(&p))
		fields := map[string]json.RawMessage{}
		ts.Check(json.Unmarshal([]byte(line), &fields))
		if len(fields) != 7 || string(fields["answers"]) == "null" {
			ts.Fatalf("want seven fields, and answers never null: %s", line)
		}
		all = append(all, p)
	}
	return all
}

// meanings compares what parse printed with lines "meaning station value
// command"; only a reading or a command is looked at beyond its meaning.
func meanings(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: meanings file want")
	}
	or := func(s *string) string {
		if s == nil {
			return "-"
		}
		return *s
	}
	got := meaningsOf(ts, args[0])
	want := strings.Split(strings.TrimSpace(ts.ReadFile(args[1])), "\n")
	if len(got) != len(want) {
		ts.Fatalf("%d objects, want %d", len(got), len(want))
	}
	for i, p := range got {
		line := p.Meaning + " - - -"
		if p.Meaning == "reading" || p.Meaning == "command" {
			line = strings.Join([]string{p.Meaning, or(p.Station), or(p.Value), or(p.Command)}, " ")
		}
		if line != want[i] {
			ts.Fatalf("%q is %s, want %s", p.Said, line, want[i])
		}
		asked := p.Meaning == "ask" || p.Meaning == "refuse"
		if asked == (p.Why == nil) || asked && strings.HasPrefix(*p.Why, "why.") {
			ts.Fatalf("%q is %s with why %s", p.Said, p.Meaning, or(p.Why))
		}
		if p.Meaning == "ask" && len(p.Answers) == 0 {
			ts.Fatalf("%q is asked back without answers", p.Said)
		}
	}
}

// answered sends every answer that parse offered to parse again: each must be
// a reading or a command.
func answered(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: answered file [flag ...]")
	}
	var answers []string
	for _, p := range meaningsOf(ts, args[0]) {
		answers = append(answers, p.Answers...)
	}
	var out, errs strings.Builder
	in := strings.NewReader(strings.Join(answers, "\n"))
	if status := run(context.Background(), append([]string{"parse"}, args[1:]...), in, &out, &errs); status != 0 {
		ts.Fatalf("status %d: %s", status, errs.String())
	}
	for line := range strings.Lines(out.String()) {
		var p parsed
		ts.Check(json.Unmarshal([]byte(line), &p))
		if p.Meaning != "reading" && p.Meaning != "command" {
			ts.Fatalf("the answer %q is itself %s", p.Said, p.Meaning)
		}
	}
}

// makeFile makes a file of rodcall's without any job. "held" keeps it open
// until the script ends; a number is the format that its reader must know.
func makeFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 || len(args) > 2 {
		ts.Fatalf("usage: file name [held | format]")
	}
	path := ts.MkAbs(args[0])
	s, err := store.Open(path, store.Options{})
	ts.Check(err)
	if len(args) == 1 {
		ts.Check(s.Close())
		return
	}
	if args[1] == "held" {
		ts.Defer(func() { ts.Check(s.Close()) })
		return
	}
	ts.Check(s.Close())
	db, err := bbolt.Open(path, 0o600, nil)
	ts.Check(err)
	ts.Check(db.Update(func(tx *bbolt.Tx) error {
		meta := tx.Bucket([]byte("meta"))
		return errors.Join(meta.Put([]byte("format"), []byte(args[1])), meta.Put([]byte("min_reader"), []byte(args[1])))
	}))
	ts.Check(db.Close())
}

// checkPNG checks that a file is a PNG, 1280 wide and at most 2000 high and
// 150 KB.
func checkPNG(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: png file")
	}
	data := ts.ReadFile(args[0])
	m, err := png.Decode(strings.NewReader(data))
	ts.Check(err)
	if b := m.Bounds(); b.Dx() != 1280 || b.Dy() > 2000 || len(data) > 150_000 {
		ts.Fatalf("%d x %d pixels in %d bytes", b.Dx(), b.Dy(), len(data))
	}
}

// spoil changes one event of the only job of a file: spoil FILE NUMBER.
func spoil(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: spoil FILE NUMBER")
	}
	n, err := strconv.ParseUint(args[1], 10, 64)
	ts.Check(err)
	db, err := bbolt.Open(ts.MkAbs(args[0]), 0o600, nil)
	ts.Check(err)
	ts.Check(db.Update(func(tx *bbolt.Tx) error {
		b := tx.Bucket([]byte("log"))
		k, _ := b.Cursor().First()
		k = binary.BigEndian.AppendUint64(bytes.Clone(k[:len(k)-8]), n)
		return b.Put(k, bytes.Replace(b.Get(k), []byte(`"at":"20`), []byte(`"at":"19`), 1))
	}))
	ts.Check(db.Close())
}

// rewrite does to the only job of a file what its owner can do: it changes the
// value of one reading (rewrite FILE change EVENT), or leaves out what comes
// behind an event (rewrite FILE cut EVENT), and writes all hashes and the header
// anew to match.
func rewrite(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: rewrite FILE change|cut EVENT")
	}
	n, err := strconv.ParseUint(args[2], 10, 64)
	ts.Check(err)
	db, err := bbolt.Open(ts.MkAbs(args[0]), 0o600, nil)
	ts.Check(err)
	ts.Check(db.Update(func(tx *bbolt.Tx) error {
		var h store.Header
		id, stored := tx.Bucket([]byte("header")).Cursor().First()
		ts.Check(json.Unmarshal(stored, &h))
		h.Seq, h.Head = 0, session.Hash{}
		log, job := tx.Bucket([]byte("log")), session.NewJob()
		rows := map[string][]byte{}
		c := log.Cursor()
		for k, v := c.First(); k != nil; k, v = c.Next() {
			rows[string(k)] = bytes.Clone(v)
		}
		for _, k := range slices.Sorted(maps.Keys(rows)) {
			e, _, err := session.Decode(rows[k])
			ts.Check(err)
			if args[1] == "cut" && e.Seq > n {
				ts.Check(log.Delete([]byte(k)))
				continue
			}
			if r, ok := e.Body.(session.Read); ok && args[1] == "change" && e.Seq == n {
				r.Value += reduce.Inch / 8
				e.Body = r
			}
			b, err := session.Encode(e, h.Head)
			ts.Check(err)
			ts.Check(log.Put([]byte(k), b))
			ts.Check(job.Apply(e))
			h.Seq, h.Head = e.Seq, session.HashOf(b)
		}
		h.JobHeader = job.Header()
		b, err := json.Marshal(h)
		ts.Check(err)
		return tx.Bucket([]byte("header")).Put(id, b)
	}))
	ts.Check(db.Close())
}

// readHead reads the last line of level notes into HEAD, as it stands there, and
// into HEX its digits alone; SHORT is HEAD with half as many.
func readHead(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: read-head NOTES")
	}
	lines := strings.Split(strings.TrimSpace(ts.ReadFile(args[0])), "\n")
	head := lines[len(lines)-1]
	ts.Setenv("HEAD", head)
	hex := strings.ReplaceAll(head[strings.LastIndex(head, "·")+len("·"):], " ", "")
	ts.Setenv("HEX", hex)
	ts.Setenv("SHORT", strings.TrimSuffix(head, head[len(head)-len(" 1234 5678"):]))
}
