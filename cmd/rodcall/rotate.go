package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rodcall/session/store"
)

// rotation makes copies of a file in a folder, one after each while, and keeps
// the newest few.
type rotation struct {
	file  *store.Store
	dir   string
	every time.Duration
	keep  int // at least 1
	now   func() time.Time
	log   *slog.Logger
}

// stampForm is the time in a copy's name, which sorts by it.
const stampForm = "20060102T150405Z"

// name is the name of a copy made at a time: walk-20260504T130000Z.db.
func (r rotation) name(at time.Time) string {
	head, end := r.ends()
	return head + at.UTC().Format(stampForm) + end
}

// ends are what stands before and behind the time in a copy's name.
func (r rotation) ends() (head, end string) {
	base := filepath.Base(r.file.Path())
	end = filepath.Ext(base)
	return strings.TrimSuffix(base, end) + "-", end
}

// copies lists the names of the copies in the folder, oldest first; those that a
// clock dated that was ahead come first of all. Nothing else is ever touched
// there.
func (r rotation) copies() ([]string, error) {
	files, err := os.ReadDir(r.dir)
	if err != nil {
		return nil, err
	}
	var early, names []string
	for _, f := range files {
		switch at, ok := r.madeAt(f.Name()); {
		case !ok:
		case at.After(r.now()):
			early = append(early, f.Name())
		default:
			names = append(names, f.Name())
		}
	}
	slices.Sort(early)
	slices.Sort(names)
	return append(early, names...), nil
}

// madeAt is the time in a copy's name.
func (r rotation) madeAt(name string) (at time.Time, ok bool) {
	head, end := r.ends()
	rest, ok := strings.CutPrefix(name, head)
	if ok {
		rest, ok = strings.CutSuffix(rest, end)
	}
	if !ok {
		return at, false
	}
	at, err := time.Parse(stampForm, rest)
	return at, err == nil
}

// once makes a copy and drops those beyond the newest few.
func (r rotation) once() error {
	name := r.name(r.now())
	// One that has faults never takes its name: it would count as made, and good ones
	// be dropped for it.
	if _, err := placeChecked(r.file.Path(), filepath.Join(r.dir, name), r.file.CopyTo); err != nil {
		return fmt.Errorf("make the copy %s: %w", name, err)
	}
	names, err := r.copies()
	if err != nil {
		return err
	}
	for _, old := range names[:max(0, len(names)-r.keep)] {
		if err := os.Remove(filepath.Join(r.dir, old)); err != nil {
			return fmt.Errorf("drop the copy %s: %w", old, err)
		}
	}
	return nil
}

// last is when the newest copy was made, zero where there is none or they
// cannot be looked at: run tells of that.
func (r rotation) last() (at time.Time) {
	if names, err := r.copies(); err == nil && len(names) > 0 {
		at, _ = r.madeAt(names[len(names)-1])
	}
	return at
}

// wait is how long it is until the next copy is due: at once where there is
// none but such as a clock dated that was ahead.
func (r rotation) wait() (time.Duration, error) {
	names, err := r.copies()
	if err != nil || len(names) == 0 {
		return 0, err
	}
	last, _ := r.madeAt(names[len(names)-1])
	age := r.now().Sub(last)
	if age < 0 {
		return 0, nil // made by a clock that was ahead
	}
	return max(0, r.every-age), nil
}

// run makes copies until ctx ends. One that cannot be made is told, and tried
// again after a while.
func (r rotation) run(ctx context.Context) {
	for {
		wait, err := r.wait()
		if err != nil {
			r.log.Error("copies of the file cannot be made", "dir", r.dir, "err", err)
			wait = min(r.every, time.Hour)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		if err := r.once(); err != nil {
			r.log.Error("no copy of the file was made", "dir", r.dir, "err", err)
			select {
			case <-ctx.Done():
				return
			case <-time.After(min(r.every, 10*time.Minute)):
			}
			continue
		}
		r.log.Info("a copy of the file was made", "dir", r.dir)
	}
}
