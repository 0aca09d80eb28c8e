package demo

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// The files of a demo, in its folder.
const (
	Marker   = "README.txt"   // says what the folder is; a folder without it is not a demo's
	Script   = "messages.txt" // what was sent
	Chat     = "chat.txt"     // what was sent and answered
	Drawing  = "drawing.png"
	Plan     = "drawing.svg"
	Summary  = "summary.txt"
	JSON     = "export.json"
	CSV      = "export.csv"
	Database = "walk.db"
	Pictures = "pictures" // a folder: the pictures of the chat
)

// title is the first line of the marker.
const title = "The demo of rodcall. Made by: rodcall demo"

// ErrNotOurs says that a folder holds something else than a former demo.
var ErrNotOurs = errors.New("it holds something that is no demo of rodcall's")

// claim makes the folder, or takes over that of a former demo: its files are
// removed, what others have put there stays.
func claim(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.Mkdir(dir, 0o755); err != nil {
			return err
		}
	case err != nil:
		return err
	case len(entries) > 0:
		mark, err := os.ReadFile(filepath.Join(dir, Marker))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if first, _, _ := strings.Cut(string(mark), "\n"); first != title {
			return fmt.Errorf("%s: %w", dir, ErrNotOurs)
		}
		if err := sweep(dir); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(dir, Marker), []byte(title+"\n"), 0o644)
}

// sweep removes the files of a former demo, and the pictures that its chat
// numbered.
func sweep(dir string) error {
	names := []string{Script, Chat, Drawing, Plan, Summary, JSON, CSV, Database}
	pictures, err := filepath.Glob(filepath.Join(dir, Pictures, "[0-9][0-9][0-9].png"))
	if err != nil {
		return err
	}
	for i, n := range names {
		names[i] = filepath.Join(dir, n)
	}
	for _, n := range slices.Concat(names, pictures) {
		if err := os.Remove(n); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
