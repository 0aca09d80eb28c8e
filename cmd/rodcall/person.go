package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"rodcall/session"
	"rodcall/session/store"
)

const personUsage = `usage: rodcall person --db FILE [--export NUMBER --out FILE.json | --forget NUMBER]

Lists everybody of whom a file holds anything, or writes out what it holds of one
person, or forgets one. Listing and writing out work while serve runs;
forgetting does not.

Who is forgotten loses: the name, the platform's id, their place in every chat,
that they were let in or owned the bot, and from the private chat with them all
answers and messages that wait or could not be sent or heard. Reports say
"somebody" from then on. Whoever writes again is somebody new, and has to be let
in again.

What stays, and why: their number, what they read, and the words of their
readings and notes, in the logs of the jobs. A log is a chain, in which nothing
can be taken out or changed without breaking it, and it is other people's
evidence. Photos stay as well. In the log of a job that was opened in a private
chat stands the number of that chat, which is the person's own id with the
platform; such a job stays in the file, to be exported, but in no chat.

Copies that were made before hold all of it still: those of backup, of
--backup-dir, and FILE.before-... beside the file. Reports that were given away
are as they were.

flags:
  --db FILE        the file of the jobs
  --export NUMBER  write what the file holds of that person, as JSON
  --out FILE.json  the file to write
  --forget NUMBER  forget that person

example:
  rodcall person --db walk.db
  rodcall person --db walk.db --export 3 --out person-3.json
  rodcall person --db walk.db --forget 3
`

func runPerson(ctx context.Context, s streams, args []string) error {
	f := newFlags("person")
	db, export, out, forget := f.text("db", ""), f.text("export", ""), f.text("out", ""), f.text("forget", "")
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	switch {
	case *db == "":
		return wrongly("rodcall person --db walk.db", "person needs --db, the file of the jobs")
	case *export != "" && *forget != "":
		return wrongly("first rodcall person --db "+*db+" --export "+*export+" --out person.json", "--export and --forget together")
	case *export != "" && *out == "":
		return wrongly("rodcall person --db "+*db+" --export "+*export+" --out person.json", "--export needs --out, the file to write")
	case *out != "" && *export == "":
		return wrongly("rodcall person --db "+*db+" --export 3 --out "+*out, "--out goes with --export")
	case *out != "" && sameFile(*out, *db):
		return wrongly("rodcall person --db "+*db+" --export "+*export+" --out person.json", "--out names the file of the jobs, which it would overwrite")
	case *export != "":
		id, err := personNumber(*db, *export)
		if err != nil {
			return err
		}
		return exportPerson(ctx, s, *db, id, *out)
	case *forget != "":
		id, err := personNumber(*db, *forget)
		if err != nil {
			return err
		}
		return forgetPerson(s, *db, id)
	}
	return listPeople(ctx, s, *db)
}

func personNumber(db, text string) (session.PersonID, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 {
		return 0, wrongly("who has which number: rodcall person --db "+db, "%q is no number of a person", text)
	}
	return session.PersonID(n), nil
}

// listPeople prints a line a person.
func listPeople(ctx context.Context, s streams, db string) (err error) {
	file, end, err := snapshot(ctx, db)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, end()) }()
	var all []store.Tally
	if err := file.View(func(tx *store.Tx) (err error) { all, err = tx.People(); return err }); err != nil {
		return err
	}
	if len(all) == 0 {
		return show(s.out, db+" holds nothing of anybody\n")
	}
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	put := func(p ...any) {
		_, _ = fmt.Fprintf(w, strings.Repeat("%v\t", len(p)-1)+"  %v\n", p...) // into memory
	}
	put("number", "chats", "jobs", "readings", "platform id", "name")
	for _, p := range all {
		name := p.Name
		if p.Forgotten() {
			name = "(forgotten)"
		}
		put(p.ID, p.Chats, p.Jobs, p.Readings, shortened(p.Platform), name)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return show(s.out, b.String())
}

// shortened is enough of a platform's id to tell people apart.
func shortened(id string) string {
	const most = 4
	if r := []rune(id); len(r) > most {
		return "…" + string(r[len(r)-most:])
	}
	return id
}

// exportPerson writes what a file holds of a person.
func exportPerson(ctx context.Context, s streams, db string, id session.PersonID, out string) (err error) {
	file, end, err := snapshot(ctx, db)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, end()) }()
	var p store.Personal
	if err := file.View(func(tx *store.Tx) (err error) { p, err = tx.Personal(id); return err }); err != nil {
		return personFault(db, err)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(p); err != nil {
		return err
	}
	if err := writeFile(out, "person.json", b.Bytes()); err != nil {
		return err
	}
	events := 0
	for _, j := range p.Jobs {
		events += len(j.Events)
	}
	return show(s.out, fmt.Sprintf("wrote %s: person %d, %d chats, %d jobs, %d events\n", out, id, len(p.Chats), len(p.Jobs), events))
}

// forgetPerson takes a person out of a file.
func forgetPerson(s streams, db string, id session.PersonID) error {
	damaged := 0
	whole, err := inspected(db, func(store.Fault) { damaged++ })
	switch {
	case err != nil:
		return openFault(db, err)
	case !whole:
		return unfit(db, damaged)
	}
	gone, err := store.Forget(db, id)
	var busy *store.BusyError
	switch {
	case errors.As(err, &busy):
		return failure("end serve first, then try again: rodcall person --db "+db+" --forget "+fmt.Sprint(id), "%w", err)
	case err != nil:
		return personFault(db, err)
	}
	text := fmt.Sprintf("person %d is forgotten: name, platform id, places in chats; %d messages and answers that waited or could not be done\n", id, gone.Rows)
	if gone.Jobs > 0 {
		text += fmt.Sprintf("%d jobs of the private chat are in no chat any more; their logs still hold its number\n", gone.Jobs)
	}
	if gone.Owner {
		text += "they owned the bot: serve gives a new claim code when it starts\n"
	}
	return show(s.out, text+"copies of the file that were made before still hold all of it\n")
}

// personFault says what to do where a person cannot be found, or a file opened.
func personFault(db string, err error) error {
	var nobody *store.NoPersonError
	if errors.As(err, &nobody) {
		return failure("who has which number: rodcall person --db "+db, "%w", err)
	}
	return openFault(db, err)
}
