package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"rodcall/session/store"
)

const backupUsage = `usage: rodcall backup --db FILE --out COPY

Copies the file of the jobs, as it stands at one moment, also while serve runs.
The copy is checked before it takes its name, and is readable by its owner
alone: it holds what the file holds. serve makes copies by itself with
--backup-dir.

flags:
  --db FILE              the file of the jobs
  --out COPY             the copy, made anew where it is there already

example:
  rodcall backup --db walk.db --out walk-monday.db
`

func runBackup(ctx context.Context, s streams, args []string) error {
	f := newFlags("backup")
	db, out := f.text("db", ""), f.text("out", "")
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	switch {
	case *db == "":
		return wrongly("rodcall backup --db walk.db --out copy.db", "backup needs --db, the file of the jobs")
	case *out == "":
		return wrongly("rodcall backup --db "+*db+" --out copy.db", "backup needs --out, the copy")
	case sameFile(*out, *db):
		return wrongly("rodcall backup --db "+*db+" --out copy.db", "--out names the file of the jobs itself")
	}
	c, err := backup(ctx, *db, *out)
	if err != nil {
		return err
	}
	return show(s.out, fmt.Sprintf("copied %s to %s: %s\n", *db, *out, counted(c)))
}

// backup puts a checked copy of a file in place.
func backup(ctx context.Context, db, out string) (store.Counts, error) {
	return placeChecked(db, out, func(part string) error {
		if err := copyOut(ctx, db, part); err != nil {
			return openFault(db, err)
		}
		return nil
	})
}

// placeChecked puts a copy of a file in place that was read and has no faults; put
// makes it, under a passing name.
func placeChecked(db, out string, put func(part string) error) (c store.Counts, err error) {
	part, err := passing(out)
	if err != nil {
		return c, err
	}
	defer func() {
		if rerr := os.Remove(part); !errors.Is(rerr, os.ErrNotExist) {
			err = errors.Join(err, rerr)
		}
	}()
	if err := put(part); err != nil {
		return c, err
	}
	c, faults, err := checked(part)
	if err != nil {
		return c, err
	}
	if len(faults) > 0 {
		return c, failure("see all of it with: rodcall check --db "+db, "not copied, for the file has %d faults; the first: %w", len(faults), faults[0])
	}
	return c, os.Rename(part, out)
}

// passing is a name beside a file that nobody else has. Its error says what to do
// where the file cannot be there.
func passing(path string) (string, error) {
	if is, err := os.Stat(path); err == nil && is.IsDir() {
		return "", failure("name a file, as one in it: "+filepath.Join(path, "copy.db"), "write %s: it is a folder", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".rodcall-*")
	if err != nil {
		return "", makeFault(path, fmt.Errorf("write %s: %w", path, unplaced(err)))
	}
	return f.Name(), f.Close()
}

// unplaced is why a passing file cannot be made, without its name, which nobody gave.
func unplaced(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// checked reads all of a file that nobody uses, and lists its faults.
func checked(path string) (c store.Counts, faults []error, err error) {
	whole, err := inspected(path, func(f store.Fault) { faults = append(faults, f) })
	switch {
	case err != nil:
		return c, nil, openFault(path, err)
	case !whole:
		return c, faults, nil
	}
	file, err := store.Open(path, store.Options{ReadOnly: true})
	if err != nil {
		return c, nil, openFault(path, err)
	}
	c, err = file.Check(func(f store.Fault) { faults = append(faults, f) })
	return c, faults, errors.Join(err, file.Close())
}

// counted is what a file holds, in words.
func counted(c store.Counts) string {
	return fmt.Sprintf("%d jobs, %d events, %d photos, %d chats, %d people, %d bytes", c.Jobs, c.Events, c.Photos, c.Chats, c.People, c.Bytes)
}
