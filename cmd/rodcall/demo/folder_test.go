package demo

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func put(t *testing.T, path string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("mine\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func TestClaimReplacesOnlyADemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "rodcall-demo")
	for range 2 { // a new folder, then a former demo's
		if err := Claim(dir); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(filepath.Join(dir, Script)); err != nil || string(got) != Messages {
			t.Fatalf("script %q, error %v", got, err)
		}
		for _, n := range []string{Chat, Drawing, Database, "notes.txt", Pictures + "/001.png", Pictures + "/mine.png"} {
			put(t, filepath.Join(dir, n))
		}
	}
	if err := Claim(dir); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{
		Marker: true, Script: true, "notes.txt": true, Pictures + "/mine.png": true,
		Chat: false, Drawing: false, Database: false, Pictures + "/001.png": false,
	} {
		if exists(filepath.Join(dir, name)) != want {
			t.Errorf("%s is there: %v, want %v", name, !want, want)
		}
	}
}

func TestClaimLeavesOthersAlone(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "walk.db"))
	if err := Claim(dir); !errors.Is(err, ErrNotOurs) {
		t.Errorf("error %v, want ErrNotOurs", err)
	}
	put(t, filepath.Join(dir, Marker)) // a README of somebody else's
	if err := Claim(dir); !errors.Is(err, ErrNotOurs) {
		t.Errorf("error %v, want ErrNotOurs", err)
	}
	if !exists(filepath.Join(dir, "walk.db")) || exists(filepath.Join(dir, Script)) {
		t.Error("a folder that is not a demo's was changed")
	}

	file := filepath.Join(t.TempDir(), "rodcall-demo")
	put(t, file)
	if err := Claim(file); err == nil {
		t.Error("a file was taken for a folder")
	}
	if err := Claim(t.TempDir()); err != nil {
		t.Errorf("an empty folder: %v", err)
	}
}
