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
	Papers   = "papers.pdf"
	JSON     = "export.json"
	CSV      = "export.csv"
	Database = "walk.db"
	Pictures = "pictures" // a folder: the pictures of the chat
)

// title is the first line of the marker.
const title = "The demo of rodcall. Made by: rodcall demo"

// about is the rest of the marker.
const about = `
Everything here is made up: the house, the people and the numbers. The next
rodcall demo in the folder above replaces these files; what else is put here
stays.

drawing.png   the drawing, as the chat gets it; drawing.svg is the same
papers.pdf    the job on paper: drawing, stations, level notes
summary.txt   the job in a few lines
chat.txt      what was sent (behind >) and answered
messages.txt  what was sent, as rodcall play takes it
pictures      the pictures of the chat
export.json   the job as data; export.csv has one row a station
walk.db       the job itself
`

// ErrNotOurs says that a folder holds something else than a former demo.
var ErrNotOurs = errors.New("it holds something that is no demo of rodcall's")

// Claim makes the folder of a demo and puts Marker and Script there. The files
// of a former demo are removed; what others have put there stays. A folder that
// holds anything and is not a former demo's is left alone: ErrNotOurs.
func Claim(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
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
	if err := os.MkdirAll(filepath.Join(dir, Pictures), 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, Marker), []byte(title+"\n"+about), 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, Script), []byte(Messages), 0o644)
}

// sweep removes the files of a former demo, and the pictures that its chat
// numbered.
func sweep(dir string) error {
	names := []string{Script, Chat, Drawing, Plan, Summary, Papers, JSON, CSV, Database}
	for i, n := range names {
		names[i] = filepath.Join(dir, n)
	}
	pictures, err := filepath.Glob(filepath.Join(dir, Pictures, "[0-9][0-9][0-9].png"))
	if err != nil {
		return err
	}
	for _, n := range slices.Concat(names, pictures) {
		if err := os.Remove(n); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
