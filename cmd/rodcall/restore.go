package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"rodcall/session/store"
)

const restoreUsage = `usage: rodcall restore --from COPY --db FILE [--replace]

Puts a copy that backup made in the place of the file of the jobs. The copy is
checked first. A file that is there stays, unless --replace is given: then it is
kept beside the new one, under its name and the time. serve must not be running.

What came after the copy was made is not in it. Replies that waited in it to be
sent are sent again.

flags:
  --from COPY            a copy that backup or serve made
  --db FILE              the file of the jobs
  --replace              where there is a file, put it aside

example:
  rodcall restore --from walk-monday.db --db walk.db --replace
`

func runRestore(_ context.Context, s streams, args []string) error {
	f := newFlags("restore")
	db, from, replace := f.text("db", ""), f.text("from", ""), f.yes("replace")
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	switch {
	case *db == "" || *from == "":
		return wrongly("rodcall restore --from copy.db --db walk.db", "restore needs --from, the copy, and --db, the file of the jobs")
	case sameFile(*db, *from):
		return wrongly("rodcall restore --from copy.db --db "+*db, "--from and --db are the same file")
	}
	old, err := aside(*db, *replace)
	if err != nil {
		return err
	}
	c, err := restore(*from, *db, old)
	if err != nil {
		return err
	}
	text := fmt.Sprintf("restored %s from %s: %s\n", *db, *from, counted(c))
	if old != "" {
		text += fmt.Sprintf("what was there is now %s\n", old)
	}
	return show(s.out, text)
}

// aside is the name under which the file that is there is to be kept, "" where
// there is none. It is an error where it may not be replaced, or is in use.
func aside(db string, replace bool) (string, error) {
	is, err := os.Stat(db)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	case err != nil:
		return "", openFault(db, err)
	case is.IsDir():
		return "", wrongly("name the file, as one in it: --db "+filepath.Join(db, "walk.db"), "--db names a folder: %s", db)
	}
	if !replace {
		return "", wrongly("to put it aside: --replace", "there is a file %s already", db)
	}
	// Whoever has it would go on writing to the one put aside.
	file, err := store.Open(db, store.Options{ReadOnly: true})
	var busy *store.BusyError
	if errors.As(err, &busy) {
		return "", failure("end serve first, then try again", "%w", err)
	}
	if err == nil {
		if err := file.Close(); err != nil {
			return "", err
		}
	}
	for n, at := 1, db+".before-"+time.Now().UTC().Format("20060102T150405Z"); ; n++ {
		name := at
		if n > 1 {
			name += "-" + strconv.Itoa(n)
		}
		if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
			return name, nil
		}
	}
}

// restore checks a copy and puts it in place, and what was there aside.
func restore(from, db, old string) (c store.Counts, err error) {
	c, faults, err := checked(from)
	var foreign *store.ForeignError
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.As(err, &foreign):
		return c, failure("name a copy that backup or serve made; "+whatIsThere(from), "--from: %w", err)
	case err != nil:
		return c, err
	}
	if len(faults) > 0 {
		return c, failure("take another copy, or what can be read of this one: rodcall check --db "+from+" --rescue rescued.db",
			"not restored, for the copy has %d faults; the first: %w", len(faults), faults[0])
	}
	part, err := passing(db)
	if err != nil {
		return c, err
	}
	defer func() {
		if rerr := os.Remove(part); !errors.Is(rerr, fs.ErrNotExist) {
			err = errors.Join(err, rerr)
		}
	}()
	file, err := store.Open(from, store.Options{ReadOnly: true})
	if err != nil {
		return c, openFault(from, err)
	}
	if err := errors.Join(file.CopyTo(part), file.Close()); err != nil {
		return c, err
	}
	if old != "" {
		if err := keepAside(db, old); err != nil {
			return c, err
		}
	}
	return c, os.Rename(part, db)
}

// keepAside gives a file a second name, so that there is one under its own at any
// moment: a serve that starts just then must not begin a new one. Not every disk can
// do that; there it is moved.
func keepAside(db, old string) error {
	if os.Link(db, old) == nil {
		return nil
	}
	return os.Rename(db, old)
}
