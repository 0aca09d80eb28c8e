// Command count reads what go test -json writes, prints each package's outcome
// and what failed tests said, and closes with one line: "12 passed, 0 failed,
// 0 skipped". Its exit status is 1 where a test or a package failed, where no
// test ran, or where one was skipped without -allow-skips.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
)

// event is one line of go test -json.
type event struct {
	Action, Package, Test, Output string
}

// tally is what the lines seen so far come to.
type tally struct {
	passed, failed int
	skipped        []string
	failedPackages []string
	outputs        map[string][]string // by test, until it has ended
	out            io.Writer
}

func main() {
	allowSkips := flag.Bool("allow-skips", false, "skipped tests are no failure")
	flag.Parse()
	t := &tally{outputs: map[string][]string{}, out: os.Stdout}
	in := bufio.NewScanner(os.Stdin)
	in.Buffer(nil, 64<<20)
	for in.Scan() {
		t.take(in.Bytes())
	}
	if err := in.Err(); err != nil {
		fmt.Fprintln(os.Stderr, "error: read test output:", err)
		os.Exit(1)
	}
	if !t.close(*allowSkips) {
		os.Exit(1)
	}
}

// take counts one line; one that is no event is printed as it stands.
func (t *tally) take(line []byte) {
	var e event
	if json.Unmarshal(line, &e) != nil || e.Action == "" {
		_, _ = fmt.Fprintf(t.out, "%s\n", line)
		return
	}
	key := e.Package + " " + e.Test
	switch e.Action {
	case "build-output":
		_, _ = io.WriteString(t.out, e.Output)
	case "output":
		if e.Test != "" {
			t.outputs[key] = append(t.outputs[key], e.Output)
		} else if !noise(e.Output) {
			_, _ = io.WriteString(t.out, e.Output)
		}
	case "pass", "fail", "skip":
		t.end(e, key)
	}
}

// noise are the lines of a package that say only what its last line says.
func noise(s string) bool { return s == "PASS\n" || s == "FAIL\n" }

func (t *tally) end(e event, key string) {
	defer delete(t.outputs, key)
	if e.Test == "" {
		if e.Action == "fail" {
			t.failedPackages = append(t.failedPackages, e.Package)
		}
		return
	}
	switch e.Action {
	case "pass":
		t.passed++
	case "fail":
		t.failed++
	case "skip":
		t.skipped = append(t.skipped, key)
	}
	if e.Action != "pass" {
		_, _ = io.WriteString(t.out, strings.Join(t.outputs[key], ""))
	}
}

// close prints the last lines and says whether all is well.
func (t *tally) close(allowSkips bool) bool {
	slices.Sort(t.skipped)
	for _, s := range t.skipped {
		_, _ = fmt.Fprintln(t.out, "skipped:", s)
	}
	for _, p := range t.failedPackages {
		_, _ = fmt.Fprintln(t.out, "failed:", p)
	}
	_, _ = fmt.Fprintf(t.out, "%d passed, %d failed, %d skipped\n", t.passed, t.failed, len(t.skipped))
	return t.passed > 0 && t.failed == 0 && len(t.failedPackages) == 0 &&
		(allowSkips || len(t.skipped) == 0)
}
