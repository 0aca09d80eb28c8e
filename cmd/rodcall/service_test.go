package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rodcall/bot/apitest"
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

// TestContainerfile: what it copies is there, its Go is the module's, and what it
// starts is a command of the program.
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
}

// instruction is one of a container file's, with its words.
type instruction struct {
	name string
	rest string
}

func instructions(text string) (all []instruction) {
	for line := range strings.Lines(strings.ReplaceAll(text, "\\\n", " ")) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			name, rest, _ := strings.Cut(line, " ")
			all = append(all, instruction{name, strings.TrimSpace(rest)})
		}
	}
	return all
}

// TestContainerSteps takes the steps of the container file by hand, in folders instead
// of images: what it copies is copied, what it runs is run, but for the download of
// modules; and what it starts in the end serves, with nothing in its environment but
// what the file says, writes nowhere but on its volume, and ends when it is asked to.
func TestContainerSteps(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	text, err := os.ReadFile("service/Containerfile")
	if err != nil {
		t.Fatal(err)
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	build, image := t.TempDir(), t.TempDir()
	src := filepath.Join(build, "src")
	must(os.Mkdir(src, 0o755)) //nolint:gosec // as in an image
	var env, start []string
	stage, ran := 0, 0
	for _, in := range instructions(string(text)) {
		words := strings.Fields(in.rest)
		switch in.name {
		case "FROM":
			stage++
		case "WORKDIR":
			if in.rest != "/src" {
				t.Errorf("it works in %s", in.rest)
			}
		case "COPY":
			if stage == 1 {
				copyContext(t, words[:len(words)-1], src)
				continue
			}
			from, to := words[len(words)-2], filepath.Join(image, words[len(words)-1])
			if !strings.HasPrefix(from, "/out/") {
				continue // of the image that it is built in
			}
			must(exec.Command("cp", "-r", filepath.Join(build, from), to).Run()) //nolint:gosec // of this repository
		case "RUN":
			if in.rest == "go mod download" {
				continue
			}
			ran++
			cmd := exec.Command("sh", "-c", strings.ReplaceAll(in.rest, "/out", filepath.Join(build, "out"))) //nolint:gosec // of this repository
			cmd.Dir = src
			if out, err := cmd.CombinedOutput(); err != nil {
				t.Fatalf("RUN %s: %v\n%s", in.rest, err, out)
			}
		case "ENV":
			name, value, _ := strings.Cut(in.rest, "=")
			env = append(env, name+"="+filepath.Join(image, value))
		case "ENTRYPOINT", "CMD":
			var line []string
			must(json.Unmarshal([]byte(in.rest), &line))
			start = append(start, line...)
		case "USER", "VOLUME", "STOPSIGNAL":
		default:
			t.Errorf("nobody knows the instruction %s", in.name)
		}
	}
	if stage != 2 || ran != 1 || len(env) != 1 {
		t.Fatalf("%d stages, %d steps run, environment %q", stage, ran, env)
	}

	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	must(os.Mkdir(filepath.Join(image, "run"), 0o755)) //nolint:gosec // as in an image
	must(os.WriteFile(filepath.Join(image, "run", "token"), []byte(srv.Token()+"\n"), 0o600))
	for i, word := range start {
		if strings.HasPrefix(word, "/") {
			start[i] = filepath.Join(image, word)
		}
	}
	log, err := os.Create(filepath.Join(t.TempDir(), "log"))
	must(err)
	t.Cleanup(func() { _ = log.Close() }) // only the child writes it
	p := &program{t: t, bin: start[0], db: filepath.Join(image, "data", "walk.db"), log: log, out: log, args: append(start[1:], "--api", srv.URL()), bare: true, env: env}
	p.run()
	w := letIn(t, srv, p, 1)[0]
	until(t, srv, "the first reading", func() bool { return w.heard("c1: ") })
	// Beside it, as in the same container: a copy is looked at where it can be made.
	cmd := exec.Command(p.bin, "check", "--db", p.db) //nolint:gosec // built just now
	cmd.Env = env
	if out, err := cmd.CombinedOutput(); err != nil || !strings.HasPrefix(string(out), "file: sound; ") {
		t.Errorf("check: %v\n%s", err, out)
	}
	p.stop()
	if _, err := os.Stat(p.db); err != nil {
		t.Error(err)
	}
}

// copyContext copies files of the checkout, as a build does.
func copyContext(t *testing.T, what []string, to string) {
	t.Helper()
	copied := 0
	files(t, func(path string, text []byte) {
		if what[0] != "." && !slices.Contains(what, path) {
			return
		}
		copied++
		at := filepath.Join(to, filepath.FromSlash(path))
		err := os.MkdirAll(filepath.Dir(at), 0o755) //nolint:gosec // as in an image
		if err == nil {
			err = os.WriteFile(at, text, 0o644) //nolint:gosec // likewise
		}
		if err != nil {
			t.Fatal(err)
		}
	})
	if copied < len(what) {
		t.Errorf("of %q only %d files are there", what, copied)
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
