package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rodcall/bot/apitest"
)

// TestDamagedPages: whichever page of a file is damaged, a command that reads it
// ends with an answer, or with an error and what to do.
func TestDamagedPages(t *testing.T) {
	whole, err := os.ReadFile(filepath.Join("..", "..", "testdata", "formats", "1.bolt"))
	if err != nil {
		t.Fatal(err)
	}
	page := os.Getpagesize()
	dir := t.TempDir()
	db := filepath.Join(dir, "walk.db")
	random := rand.NewChaCha8([32]byte{7})
	told, late := 0, 0
	for at := 2 * page; at+page <= len(whole); at += page {
		torn := slices.Clone(whole)
		_, _ = random.Read(torn[at : at+page])
		for _, args := range [][]string{
			{"export", "--db", db, "--job", "j1", "--as", "json"},
			{"export", "--db", db, "--job", "j1", "--as", "photos", "--out", filepath.Join(dir, "photos")},
			{"person", "--db", db},
			{"person", "--db", db, "--export", "1", "--out", filepath.Join(dir, "person.json")},
			{"person", "--db", db, "--forget", "1"},
			{"check", "--db", db},
		} {
			if err := os.WriteFile(db, torn, 0o600); err != nil {
				t.Fatal(err)
			}
			var out, wrong bytes.Buffer
			status := run(context.Background(), args, strings.NewReader(""), &out, &wrong)
			switch text := wrong.String(); {
			case status == 0:
			case status != failed:
				t.Errorf("page %d, %q: status %d: %s", at/page, args, status, text)
			case strings.Contains(text, "damaged") || strings.Contains(text, "faults"):
				told++
				if !strings.Contains(text, "hint: restore a copy, or take what can be read: rodcall check --db ") {
					t.Errorf("page %d, %q: no word of what to do: %s", at/page, args, text)
				}
				if strings.Contains(text, "a page cannot be read") {
					late++
				}
			}
		}
	}
	if told == 0 || late == 0 {
		t.Errorf("%d were told that the file is damaged, %d of them of a page", told, late)
	}
}

// TestServeMeetsDamage damages the file of a running serve where it cannot be written
// any more: whoever sends a message is told that it is not kept, the operator what is
// wrong and what to do, and the program ends with status 1. It does not start on that
// file again, and tells nobody any more. On a copy that was made before, the message
// comes again and is heard.
func TestServeMeetsDamage(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	p := newProgram(t, srv)
	p.run()
	w := letIn(t, srv, p, 1)[0]
	until(t, srv, "the first reading", func() bool { return w.heard("c1: ") })
	settled := exec.Command(p.bin, "backup", "--db", p.db, "--out", p.db+".copy")
	if out, err := settled.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}

	spoilLists(t, p.db)
	w.c.Say(w.u, "1/8 low")
	until(t, srv, "a word of trouble", func() bool { return w.heard("NOT kept") })
	ended := func() string {
		t.Helper()
		from := 0
		if p.start > 1 {
			from = strings.LastIndex(p.printed(), "error: ")
		}
		var end *exec.ExitError
		if err := p.cmd.Wait(); !errors.As(err, &end) || end.ExitCode() != failed {
			t.Errorf("it ended with %v", err)
		}
		return p.printed()[max(0, from):]
	}
	want := "hint: restore a copy, or take what can be read: rodcall check --db " + p.db + " --rescue rescued.db\n"
	if text := ended(); strings.Count(text, "error: ") != 1 || !strings.Contains(text, "the file is damaged") || !strings.HasSuffix(text, want) {
		t.Errorf("it printed:\n%s", text)
	}
	said := len(w.c.FromBot())
	p.run()
	if text := ended(); !strings.HasSuffix(text, want) {
		t.Errorf("on the next start it printed:\n%s", text)
	}
	if n := len(w.c.FromBot()); n != said {
		t.Errorf("%d more messages were sent", n-said)
	}

	if out, err := exec.Command(p.bin, "restore", "--from", p.db+".copy", "--db", p.db, "--replace").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	p.run()
	until(t, srv, "the reading", func() bool { return w.heard("c1+4: 1/8 low") })
	p.stop()
	if _, err := os.Stat(damageMark(p.db)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the mark of the damage is there still: %v", err)
	}
	p.sound()
}

// spoilLists overwrites the pages of a file that list its free pages.
func spoilLists(t *testing.T, db string) {
	t.Helper()
	b, err := os.ReadFile(db)
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(db, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	const freeList = 0x10 // the flag of such a page in bbolt's format
	page, spoiled := os.Getpagesize(), 0
	for at := 2 * page; at+page <= len(b); at += page {
		if binary.NativeEndian.Uint16(b[at+8:]) != freeList {
			continue
		}
		if _, err := f.WriteAt(bytes.Repeat([]byte{0xee}, page), int64(at)); err != nil {
			t.Fatal(err)
		}
		spoiled++
	}
	if err := f.Close(); err != nil || spoiled == 0 {
		t.Fatalf("%d pages were spoiled, %v", spoiled, err)
	}
}
