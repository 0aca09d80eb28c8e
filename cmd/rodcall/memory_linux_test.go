package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
	"rodcall/session/store"
	"rodcall/session/store/filled"
)

const (
	idleJobs  = 100_000
	idleRuns  = 5
	idleFor   = 5 * time.Second // until it is measured
	idleAbove = 25.0            // MB
)

// memory is what a process holds, in MB: all that is in memory for it, and of that
// what is its own. The rest are pages of files, its program's and those of the file
// of the jobs, which the kernel takes back whenever it needs room.
type memory struct{ all, own float64 }

// memoryOf reads what the kernel says of a process.
func memoryOf(b *testing.B, pid int) (m memory) {
	b.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Fatal(err)
	}
	for line := range strings.Lines(string(status)) {
		f := strings.Fields(line)
		if len(f) != 3 || f[2] != "kB" {
			continue
		}
		kb, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			b.Fatal(err)
		}
		switch f[0] {
		case "VmRSS:":
			m.all = kb / 1024
		case "RssAnon:":
			m.own = kb / 1024
		}
	}
	if m.all == 0 || m.own == 0 {
		b.Fatalf("the kernel does not say what process %d holds:\n%s", pid, status)
	}
	return m
}

// emptyProgram builds a program that imports every library that rodcall imports, of
// Go's own and of others, and does nothing but wait.
func emptyProgram(b *testing.B, dir string) string {
	b.Helper()
	list, err := exec.Command("go", "list", "-deps", "-f", `{{if and .Module .Module.Main}}{{join .Imports "\n"}}{{end}}`, ".").Output()
	if err != nil {
		b.Fatal(err)
	}
	libraries := strings.Fields(string(list))
	slices.Sort(libraries)
	src := "package main\n\nimport (\n"
	n := 0
	for _, l := range slices.Compact(libraries) {
		if l != "fmt" && l != "os" && l != "rodcall" && !strings.HasPrefix(l, "rodcall/") {
			src += fmt.Sprintf("\t_ %q\n", l)
			n++
		}
	}
	src += "\t\"fmt\"\n\t\"os\"\n)\n\nfunc main() {\n\tfmt.Println(\"up\")\n\t_, _ = os.Stdin.Read(make([]byte, 1))\n}\n"
	path := filepath.Join(dir, "empty.go")
	if err := os.WriteFile(path, []byte(src), 0o600); err != nil {
		b.Fatal(err)
	}
	bin := filepath.Join(dir, "empty")
	if out, err := exec.Command("go", "build", "-o", bin, path).CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, out)
	}
	b.Logf("an empty program with %d libraries", n)
	return bin
}

// idle starts a program, waits until it prints a word and then for a while, and
// measures it.
func idle(b *testing.B, ready string, cmd *exec.Cmd) memory {
	b.Helper()
	in, err := cmd.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	cmd.Stderr = cmd.Stdout
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	defer func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait() // it was killed, and says so
		_ = in.Close()
	}()
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if strings.Contains(lines.Text(), ready) {
			time.Sleep(idleFor)
			return memoryOf(b, cmd.Process.Pid)
		}
	}
	b.Fatalf("it never said %q", ready)
	return memory{}
}

// BenchmarkIdleMemoryRatio compares what the real program holds in memory that serves a
// file of 100,000 finished jobs, and has nothing to do, with an empty Go program that
// links the same libraries. The ratio is what it holds above that, all pages counted,
// by the 25 MB that it may.
func BenchmarkIdleMemoryRatio(b *testing.B) {
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	dir := b.TempDir()
	bin := filepath.Join(dir, "program")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, out)
	}
	empty := emptyProgram(b, dir)
	db := filepath.Join(dir, "many.db")
	s, err := store.Open(db, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	if err := filled.Jobs(s, idleJobs, nil); err != nil {
		b.Fatal(err)
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		var all, own []float64
		for i := range idleRuns {
			nothing := idle(b, "up", exec.Command(empty))
			serve := exec.Command(bin, "serve", "--db", db, "--api", srv.URL(), "--metrics", "127.0.0.1:0")
			serve.Env = append(os.Environ(), tokenVariable+"="+srv.Token())
			ours := idle(b, "serving", serve)
			if i == 0 {
				b.Logf("rodcall %.1f MB, of them %.1f its own; the empty program %.1f, %.1f", ours.all, ours.own, nothing.all, nothing.own)
			}
			all, own = append(all, ours.all-nothing.all), append(own, ours.own-nothing.own)
		}
		slices.Sort(all)
		slices.Sort(own)
		b.ReportMetric(all[idleRuns/2]/idleAbove, "ratio")
		b.ReportMetric(1, "at-most")
		b.ReportMetric(all[idleRuns/2], "MB-above")
		b.ReportMetric(own[idleRuns/2], "MB-above-own")
		b.ReportMetric(0, "ns/op")
	}
}
