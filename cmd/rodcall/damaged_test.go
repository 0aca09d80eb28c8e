package main

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
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
