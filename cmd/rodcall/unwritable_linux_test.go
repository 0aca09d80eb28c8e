package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"rodcall/bot/apitest"
	"rodcall/session/store"
)

// nobody is a user whom permissions hold back: root is not.
const nobody = 65534

// asNobody has a command run as somebody who is not root.
func asNobody(cmd *exec.Cmd) {
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
}

// TestUnwritableAtStart: where the file, or a new file's folder, cannot be
// written, or there is no room for it, the program ends with an error that says so
// and what to do, and not with a crash.
func TestUnwritableAtStart(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	p := newProgram(t, srv)
	dir := filepath.Dir(p.db)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	// Go makes a test's folder for its user alone.
	must(os.Chmod(filepath.Dir(dir), 0o755)) //nolint:gosec // another user is to come in
	must(os.Chmod(dir, 0o755))               //nolint:gosec // likewise
	file, err := store.Open(p.db, store.Options{})
	must(err)
	must(file.Close())
	open := filepath.Join(dir, "open")
	must(os.Mkdir(open, 0o777))
	must(os.Chmod(open, 0o777))                   //nolint:gosec // another user is to write there
	must(os.Chmod(p.db, 0o444))                   //nolint:gosec // that is what is tested
	must(os.Chmod(dir, 0o555))                    //nolint:gosec // likewise
	defer func() { must(os.Chmod(dir, 0o755)) }() //nolint:gosec // so that it can be thrown away
	// No file may become longer than 4096 bytes there, as on a disk that is full.
	const full = `ulimit -S -f 8; exec "$@"`
	for _, c := range []struct{ name, under, db, says, hint string }{
		{"a file that is read-only", `exec "$@"`, p.db, "permission denied", "hint: who runs rodcall must be allowed to write the file and its folder: ls -ld " + dir},
		{"a folder that is read-only", `exec "$@"`, filepath.Join(dir, "new.db"), "permission denied", "hint: who runs rodcall must be allowed to write the file and its folder: ls -ld " + dir},
		{"no room", full, filepath.Join(open, "new.db"), "file too large", "hint: make room on the disk first: df -h " + open},
	} {
		t.Run(c.name, func(t *testing.T) {
			cmd := exec.Command("sh", "-c", c.under, "sh", p.bin, "serve", "--db", c.db, "--api", srv.URL(), "--voice", "off", "--aloud", "off")
			cmd.Env = append(os.Environ(), p.env...)
			asNobody(cmd)
			out, err := cmd.CombinedOutput()
			if got := statusOf(err); got != "1" {
				t.Errorf("exit status %s, want 1", got)
			}
			if text := string(out); !strings.HasPrefix(text, "error: ") || !strings.Contains(text, c.says) || !strings.Contains(text, c.hint) || strings.Contains(text, "goroutine") {
				t.Errorf("it says:\n%s", text)
			}
		})
	}
}
