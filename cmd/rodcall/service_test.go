package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// settingsTable is how the README lists settings.
func settingsTable(all []setting) string {
	var b strings.Builder
	b.WriteString("| setting | value | default | meaning |\n| --- | --- | --- | --- |\n")
	for _, s := range all {
		ours := s.ours
		if ours != "" {
			ours = "`" + ours + "`"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", s.name, strings.ReplaceAll(s.takes, "|", ", "), ours, s.help)
	}
	return b.String()
}

// TestReadmeSettings: the README lists every setting, as the help does.
func TestReadmeSettings(t *testing.T) {
	if want := settingsTable(serveSettings(&served{})); !strings.Contains(readDoc(t, "README.md"), want) {
		t.Errorf("the README does not list the settings as they are:\n%s", want)
	}
}

// TestSampleSettings: the sample names every setting once, and what it says of
// those that have a default is that.
func TestSampleSettings(t *testing.T) {
	text, err := os.ReadFile("service/rodcall.conf")
	if err != nil {
		t.Fatal(err)
	}
	set := regexp.MustCompile(`(?m)^#([a-z])`).ReplaceAllString(string(text), "$1")
	file := filepath.Join(t.TempDir(), "rodcall.conf")
	if err := os.WriteFile(file, []byte(set), 0o600); err != nil {
		t.Fatal(err)
	}
	all := serveSettings(&served{})
	lines, err := readSettings(file, all)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		i := slices.IndexFunc(lines, func(l line) bool { return l.name == s.name })
		if i < 0 {
			t.Errorf("the sample does not name %s", s.name)
		} else if s.ours != "" && lines[i].value != s.ours {
			t.Errorf("the sample has %s = %s, which is %s where nobody says another", s.name, lines[i].value, s.ours)
		}
	}
	// With all in comments it says nothing.
	if lines, err := readSettings("service/rodcall.conf", all); err != nil || len(lines) > 0 {
		t.Errorf("the sample as it is: %v, %v", lines, err)
	}
}

// TestStrays: a variable that is named like a setting, and is none, is told.
func TestStrays(t *testing.T) {
	got := strays(serveSettings(&served{}), []string{
		"RODCALL_ZOEN=UTC", "RODCALL_ZONE=UTC", "RODCALL_TOKEN=x", "RODCALL_CONFIG=x", "RODCALL_TEST_CHILD=1", "RODCALL_KILLS=", "HOME=x", "RODCALL_LOG_FORMS",
	})
	if want := []string{"RODCALL_LOG_FORMS", "RODCALL_ZOEN"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestContainerfile: what it copies is there, and the program is built as it
// says.
func TestContainerfile(t *testing.T) {
	text, err := os.ReadFile("service/Containerfile")
	if err != nil {
		t.Fatal(err)
	}
	file := strings.ReplaceAll(string(text), "\\\n", " ")
	copied := 0
	for _, m := range regexp.MustCompile(`(?m)^COPY ([^-].*) \S+$`).FindAllStringSubmatch(file, -1) {
		for from := range strings.FieldsSeq(m[1]) {
			copied++
			if _, err := os.Stat(filepath.Join(root, from)); err != nil {
				t.Errorf("it copies %s: %v", from, err)
			}
		}
	}
	if copied < 3 {
		t.Errorf("it copies %d things", copied)
	}
	// The Go that it takes is not older than the one that the module needs.
	mod := readDoc(t, "go.mod")
	needs := regexp.MustCompile(`(?m)^go (1\.\d+)`).FindStringSubmatch(mod)
	if takes := regexp.MustCompile(`(?m)^FROM golang:(\S+) `).FindStringSubmatch(file); needs == nil || takes == nil || takes[1] != needs[1] {
		t.Errorf("it is built by Go %q, the module needs %q", takes, needs)
	}
	// Flags of its last line are flags of serve.
	if m := regexp.MustCompile(`(?m)^CMD \[(.*)\]$`).FindStringSubmatch(file); m == nil {
		t.Error("it starts nothing")
	} else {
		checkServeLine(t, strings.FieldsFunc(m[1], func(r rune) bool { return strings.ContainsRune(`", `, r) }))
	}
	build := regexp.MustCompile(`(?m)^RUN (CGO_ENABLED=0) (go build .*) -o \S+ (\./\S+)`).FindStringSubmatch(file)
	if build == nil {
		t.Fatal("it does not build the program without C")
	}
	if testing.Short() {
		t.Skip("it builds the program")
	}
	args := append(strings.Fields(build[2])[1:], "-o", filepath.Join(t.TempDir(), "rodcall"), build[3])
	cmd := exec.Command("go", args...)
	cmd.Dir, cmd.Env = root, append(os.Environ(), build[1])
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("go %v: %v\n%s", args, err, out)
	}
}

// TestServiceFile: what the unit starts is a command of the program, and what it
// gives to end is more than that takes.
func TestServiceFile(t *testing.T) {
	text, err := os.ReadFile("service/rodcall.service")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`(?m)^ExecStart=\S+/rodcall (.*)$`).FindSubmatch(text)
	if m == nil {
		t.Fatal("it starts nothing")
	}
	checkServeLine(t, strings.Fields(string(m[1])))
	var stop int
	at := strings.Index(string(text), "TimeoutStopSec=")
	if _, err := fmt.Sscanf(string(text[max(0, at):]), "TimeoutStopSec=%d", &stop); err != nil || float64(stop) < 2*closeIn.Seconds() {
		t.Errorf("it is killed after %d s (%v)", stop, err)
	}
}

// checkServeLine looks at what stands behind the program's name.
func checkServeLine(t *testing.T, args []string) {
	t.Helper()
	if len(args) == 0 || args[0] != "serve" {
		t.Errorf("it starts %q", args)
		return
	}
	all := serveSettings(&served{})
	for _, a := range args[1:] {
		name, flag := strings.CutPrefix(a, "--")
		if flag && name != "config" && !slices.ContainsFunc(all, func(s setting) bool { return s.name == name }) {
			t.Errorf("serve has no flag %s", a)
		}
	}
}
