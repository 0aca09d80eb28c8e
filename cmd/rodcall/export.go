package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

func runExport(_ context.Context, s streams, args []string) error {
	f := newFlags("export")
	db := f.text("db", "")
	id := f.text("job", "")
	as := f.text("as", "")
	out := f.text("out", "")
	at := f.text("at", "")
	page := f.text("page", "")
	lang := f.text("lang", "")
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	made := time.Now().UTC()
	switch {
	case *db == "":
		return wrongly("rodcall export --db walk.db --as json", "export needs --db, the file that holds the job")
	case *as == "":
		return wrongly("rodcall export --db "+*db+" --as json", "export needs --as: json, csv, notes, svg, png, pdf or photos")
	case !slices.Contains([]string{"json", "csv", "notes", "svg", "png", "pdf", "photos"}, *as):
		return wrongly("rodcall export --db "+*db+" --as json", "--as %q: want json, csv, notes, svg, png, pdf or photos", *as)
	case *out != "" && sameFile(*out, *db):
		return wrongly(fmt.Sprintf("rodcall export --db %s --as %s --out job.%s", *db, *as, *as), "--out names the file of the jobs, which an export would overwrite")
	case *as == "pdf" && *out == "":
		return wrongly("rodcall export --db "+*db+" --as pdf --out papers.pdf", "the papers need --out, the file to write")
	case *as == "photos" && *out == "":
		return wrongly("rodcall export --db "+*db+" --as photos --out photos", "photos need --out, the folder to write them into")
	case *page != "" && (*page != "as-found" || *as != "pdf"):
		return wrongly("rodcall export --db "+*db+" --as pdf --page as-found --out found.pdf", "--page %q: want as-found, with --as pdf", *page)
	case (*as == "svg" || *as == "png") && *out == "":
		return wrongly(fmt.Sprintf("rodcall export --db %s --as %s --out drawing.%s", *db, *as, *as), "a picture needs --out, the file to write")
	case f.given("lang") && *lang != "en" && *lang != "es":
		return wrongly(fmt.Sprintf("rodcall export --db %s --as %s --lang es", *db, *as), "--lang %q: want en or es", *lang)
	case *at != "":
		t, err := time.Parse(time.RFC3339, *at)
		if err != nil {
			return wrongly("a time that works: --at 2026-05-04T13:00:00Z", "--at %q is not a time", *at)
		}
		made = t.UTC()
	}
	if *as == "photos" {
		return exportPhotos(s, *db, *id, *out)
	}
	job, src, err := loadJob(*db, *id)
	if err != nil {
		return err
	}
	if *page != "" {
		*as = *page
	}
	*lang = cmp.Or(*lang, job.Lang, "en")
	var b bytes.Buffer
	err = write(&b, job, *as, *lang, made, src)
	if errors.Is(err, report.ErrNotFound) {
		return failure("all that the job holds: rodcall export --db "+*db+" --as pdf --out papers.pdf", "export job %s: %w", job.ID, err)
	}
	if err != nil {
		return fmt.Errorf("export job %s: %w", job.ID, err)
	}
	if *out != "" {
		return writeFile(*out, likely(*as), b.Bytes())
	}
	return show(s.out, b.String())
}

// likely is a name that somebody might give to a format.
func likely(as string) string {
	switch as {
	case "json", "csv":
		return "job." + as
	case "notes":
		return "notes.txt"
	case "svg":
		return "drawing.svg"
	case "pdf", "as-found":
		return "papers.pdf"
	}
	return "drawing.png"
}

// write writes a job in one of the formats.
func write(w io.Writer, j *session.Job, as, lang string, made time.Time, src report.Sources) error {
	switch as {
	case "json":
		return report.WriteJSON(w, j, src)
	case "csv":
		return report.WriteCSV(w, j)
	case "notes":
		return report.WriteNotes(w, j, lang, src)
	case "svg":
		return report.WriteSVG(w, j, lang, made, src)
	case "pdf":
		return report.WritePDF(w, j, lang, made, src)
	case "as-found":
		return report.WriteFound(w, j, lang, made, src)
	}
	return report.WritePNG(w, j, lang, made, src)
}

// loadJob reads a job, and as many of its photos as its papers show, from a file
// that it leaves as it is. Where id is "" the file must hold one job.
func loadJob(path, id string) (*session.Job, report.Sources, error) {
	var job *session.Job
	var head report.Head
	known, photos := map[session.PersonID]string{}, map[session.Hash][]byte{}
	err := readJob(path, id, func(tx *store.Tx, j *session.Job) (err error) {
		job = j
		for _, n := range j.Kept() {
			if jpeg, ok := tx.Photo(n.Photo); ok && len(photos) < report.MaxPhotos {
				photos[n.Photo] = jpeg
			}
		}
		if known, err = tx.Names(); err != nil {
			return err
		}
		head.Seq = j.Seq
		head.Hash, err = tx.HashOf(j.ID, j.Seq)
		return err
	})
	return job, report.Sources{
		Names:  func(p session.PersonID) string { return known[p] },
		Photos: func(h session.Hash) []byte { return photos[h] },
		Head:   head,
	}, err
}

// readJob reads from a file that it leaves as it is.
func readJob(path, id string, read func(*store.Tx, *session.Job) error) error {
	file, err := store.Open(path, store.Options{ReadOnly: true})
	var busy *store.BusyError
	if errors.As(err, &busy) {
		return failure("end the other rodcall; or where it is serve, export a copy: rodcall backup --db "+path+" --out copy.db", "%w", err)
	}
	if err != nil {
		return openFault(path, err)
	}
	err = file.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		if id, err = pick(path, id, headers); err != nil {
			return err
		}
		job, err := tx.Job(id)
		if err != nil {
			return err
		}
		return read(tx, job)
	})
	return errors.Join(err, file.Close())
}

// pick finds the job meant.
func pick(path, id string, headers []store.Header) (string, error) {
	if len(headers) == 0 {
		return "", failure("open a job first: rodcall chat --db "+path, "%s holds no job", path)
	}
	var list []string
	for _, h := range headers {
		if h.ID == id {
			return id, nil
		}
		list = append(list, fmt.Sprintf("--job %s (%s)", h.ID, h.Name))
	}
	hint := "name one: " + strings.Join(list, ", ")
	switch {
	case id != "":
		return "", failure(hint, "%s holds no job %q", path, id)
	case len(headers) > 1:
		return "", wrongly(hint, "%s holds %d jobs", path, len(headers))
	}
	return headers[0].ID, nil
}

// openFault says what to do about a file that cannot be opened.
func openFault(path string, err error) error {
	var (
		busy    *store.BusyError
		moved   *store.MovedError
		newer   *store.NewerError
		foreign *store.ForeignError
		damaged *store.DamagedError
		chain   *store.ChainError
	)
	if said := (*fault)(nil); errors.As(err, &said) {
		return said
	}
	hint := ""
	switch {
	case errors.Is(err, fs.ErrNotExist):
		hint = "name the file that serve or chat was given; " + whatIsThere(path)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		hint = "who runs rodcall must be allowed to write the file and its folder: ls -ld " + filepath.Dir(path) + " " + path
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EFBIG), errors.Is(err, syscall.EDQUOT):
		hint = "make room on the disk first: df -h " + filepath.Dir(path)
	case errors.As(err, &busy):
		hint = "end the other rodcall, then try again"
	case errors.As(err, &moved):
		hint = "see what is there now, and start again with the file that is meant: ls -l " + filepath.Dir(path)
	case errors.As(err, &newer):
		hint = "use the rodcall that wrote the file, or a newer one"
	case errors.As(err, &damaged), errors.As(err, &chain):
		hint = "restore a copy, or take what can be read: rodcall check --db " + path + " --rescue rescued.db"
	case errors.As(err, &foreign):
		hint = "name a file that rodcall wrote: --db walk.db"
	}
	return failure(hint, "%w", err)
}

// whatIsThere is how to see what is where a file was looked for.
func whatIsThere(path string) string {
	dir := filepath.Dir(path)
	for {
		if is, err := os.Stat(dir); err == nil && is.IsDir() || dir == filepath.Dir(dir) {
			return "see what there is: ls " + dir
		}
		dir = filepath.Dir(dir)
	}
}

// makeFault says what to do about a file that cannot be made, or opened, where
// none need be.
func makeFault(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return failure("make the folder first: mkdir -p "+filepath.Dir(path), "%w", err)
	}
	return openFault(path, err)
}

// sameFile says whether two paths lead to one file.
func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// writeFile puts a whole file in place, or leaves what is there; like is a name that
// it might have.
func writeFile(path, like string, data []byte) (err error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return failure("name a file in that folder: --out "+filepath.Join(path, like), "write %s: it is a folder", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".rodcall-*")
	if err != nil {
		return failure("name a file in a folder that can be written: --out "+like, "write %s: %w", path, unplaced(err))
	}
	defer func() {
		if err != nil {
			err = errors.Join(fmt.Errorf("write %s: %w", path, err), os.Remove(f.Name()))
		}
	}()
	_, err = f.Write(data)
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
