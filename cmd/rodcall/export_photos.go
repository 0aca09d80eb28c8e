package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"rodcall/session"
	"rodcall/session/store"
)

// exportPhotos writes every photo that was kept with a job's stations into a
// folder, as c3-round1-1.jpg and so on, and prints their names.
func exportPhotos(s streams, db, id, folder string) error {
	type spot struct {
		name  string
		round int
	}
	count, lost := map[spot]int{}, 0
	err := readJob(db, id, func(tx *store.Tx, job *session.Job) error {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return failure("name a folder that can be written: --out photos", "write photos: %w", err)
		}
		for _, n := range job.Kept() {
			if !n.Shows() {
				continue
			}
			at := spot{strings.ReplaceAll(session.SayStation("en", job, n.Station), " ", "-"), n.Round}
			count[at]++
			name := filepath.Join(folder, fmt.Sprintf("%s-round%d-%d.jpg", at.name, at.round, count[at]))
			jpeg, ok := tx.Photo(n.Photo)
			if !ok {
				lost++
				continue
			}
			if err := writeFile(name, "c3-round1-1.jpg", jpeg); err != nil {
				return err
			}
			if err := show(s.out, name+"\n"); err != nil {
				return err
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case lost > 0:
		return failure("the others are in "+folder, "%d photos are named in the job, but not in the file", lost)
	case len(count) == 0:
		return show(s.out, "no photos were kept\n")
	}
	return nil
}
