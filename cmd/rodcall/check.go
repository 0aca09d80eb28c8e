package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"strings"
	"time"

	"rodcall/bot"
	"rodcall/session/engine"
	"rodcall/session/store"
)

const checkUsage = `usage: rodcall check --db FILE [--report REPORT | --head JOB:EVENT:HASH]
                     [--rescue NEW] [--token-file FILE] [--api URL]

Reads all of a file, also while serve runs: every page, every event of every
job, each held against the one before it, and every other row. Each job is
folded anew and held against what its header says. It prints the first event
of a job that does not fit, and where a log ends too early. Where a token is
given, or RODCALL_TOKEN is set, it asks the platform whether it is good.

A photo that --rescue could not read is noted in the new file as lost: check
tells of it there, and it is no fault.

It warns where the file lies on ext4 with fast commits under a version of Linux
that is known to damage files with them.

What it shows: that the file is as the program wrote it, and that nobody changed
an event without changing all that follow. What it cannot show: that nobody
wrote all of a job anew, or cut off its end. A report anchors that, once it has
been printed or given away: it bears the number and the hash of the newest event
that it was made from, and --report and --head look for that event in the file.
An export as JSON is made anew as of that event as well, and the first line that
differs is told; of papers only the event is looked for.

flags:
  --db FILE              the file of the jobs
  --report REPORT        papers (PDF) or an export (JSON) to hold against the file
  --head JOB:EVENT:HASH  what stands at the foot of papers or of a drawing, at
                         least 8 digits of the hash, better 16; with one job in
                         the file JOB: may be left out
  --rescue NEW           what can be read of a damaged file, as a new one
  --token-file FILE      holds the token of the bot, alone
  --api URL              where the Bot API is (https://api.telegram.org)

example:
  rodcall check --db walk.db --report papers.pdf
  rodcall check --db walk.db --head "j1:57:3f2a 9c10"
`

func runCheck(ctx context.Context, s streams, args []string) (err error) {
	f := newFlags("check")
	db, rescue := f.text("db", ""), f.text("rescue", "")
	written, printed := f.text("report", ""), f.text("head", "")
	token, api := f.text("token-file", ""), f.text("api", bot.DefaultAPI)
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	if *db == "" {
		return wrongly("rodcall check --db walk.db", "check needs --db, the file of the jobs")
	}
	if *rescue != "" {
		return runRescue(s, *db, *rescue)
	}
	var a anchor
	switch {
	case *written != "" && *printed != "":
		return wrongly("one at a time: rodcall check --db "+*db+" --report papers.pdf", "--report and --head together")
	case *written != "":
		a, err = readReport(*db, *written)
	case *printed != "":
		a, err = parseHead(*db, *printed)
	}
	if err != nil {
		return err
	}
	if err := readFile(ctx, s, *db, a); err != nil || a.seq > 0 {
		return err
	}
	if err := warnOfFastCommit(s, *db); err != nil {
		return err
	}
	return checkToken(ctx, s, *token, *api)
}

// maxFaults is how many faults are printed; more are only counted.
const maxFaults = 100

// readFile reads all of a file, holds an anchor against it if there is one, and
// prints what does not fit.
func readFile(ctx context.Context, s streams, db string, a anchor) (err error) {
	n := 0
	var printed error
	fault := func(text string) {
		if n++; n <= maxFaults && printed == nil {
			printed = show(s.out, "fault: "+text+"\n")
		}
	}
	whole, err := inspected(db, func(f store.Fault) { fault(f.Error()) })
	switch {
	case err != nil:
		return openFault(db, err)
	case !whole:
		return errors.Join(unfit(db, n), printed)
	}
	file, end, err := snapshot(ctx, db)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, end()) }()
	c, err := file.Check(func(f store.Fault) { fault(f.Error()) })
	if err != nil {
		return err
	}
	unsound := n
	if n == 0 {
		printed = show(s.out, fmt.Sprintf("file: sound; %s; %d to be heard, %d to be sent, %d could not be sent, %d could not be heard\n",
			counted(c), c.Inbox, c.Outbox, c.Parked, c.Failed))
		for _, lost := range c.Lost {
			if printed == nil {
				printed = show(s.out, fmt.Sprintf("lost when the file was rescued, and no fault: %v\n", lost))
			}
		}
	}
	if a.seq > 0 {
		err = file.View(func(tx *store.Tx) error {
			held, faults, err := a.hold(tx, db)
			for _, f := range faults {
				fault(f)
			}
			if held != "" && printed == nil {
				printed = show(s.out, held)
			}
			return err
		})
	}
	switch {
	case err != nil || printed != nil:
		return errors.Join(err, printed)
	case unsound > 0:
		return unfit(db, n)
	case n > 0:
		return failure("which of them is the right one? hold it against a copy of the file: rodcall check --db copy.db "+a.asked, "%s does not fit %s", a.what, db)
	}
	return nil
}

// checkToken asks the platform whether a token is good, where there is one.
func checkToken(ctx context.Context, s streams, path, api string) error {
	text := os.Getenv("RODCALL_TOKEN")
	if path != "" {
		b, err := os.ReadFile(path)
		if err != nil {
			return failure("put the token into a file by itself: --token-file token.txt", "read the token: %w", err)
		}
		text = strings.TrimPrefix(string(b), byteOrderMark)
	}
	if strings.TrimSpace(text) == "" {
		return show(s.out, "token: none given; the platform was not asked\n")
	}
	token, err := bot.CleanToken(text)
	if err != nil {
		return failure("what the platform gave for this bot, by itself in a file: --token-file token.txt", "%w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	defer engine.Crash(slog.New(slog.NewTextHandler(bot.Redacted(s.err, token), nil)))
	b, err := bot.New(ctx, bot.Config{Token: token, API: api})
	switch {
	case err == nil:
		return show(s.out, fmt.Sprintf("token: good, of @%s; the platform answers\n", b.Name()))
	case bot.Unreachable(err):
		return hideToken(failure("is the network up, and the address right: --api "+bot.DefaultAPI, "the platform cannot be reached: %w", err), token)
	}
	return hideToken(failure("what the platform gave for this bot, by itself in a file: --token-file token.txt", "the platform refuses the token: %w", err), token)
}

// runRescue writes what can be read of a file into a new one.
func runRescue(s streams, db, out string) (err error) {
	if _, err := os.Stat(out); err == nil {
		return wrongly("name a new file: --rescue rescued.db", "there is a file %s already", out)
	}
	into, err := store.Open(out, store.Options{})
	if err != nil {
		return makeFault(out, err)
	}
	r, err := store.Rescue(db, into)
	if err := errors.Join(err, into.Close()); err != nil {
		return errors.Join(openFault(db, err), os.Remove(out))
	}
	var b strings.Builder
	for _, lost := range r.Lost {
		fmt.Fprintf(&b, "lost: %s\n", lost)
	}
	for _, cut := range r.Cut {
		fmt.Fprintf(&b, "cut off: %s\n", cut)
	}
	if r.Unheard+r.Unsent > 0 {
		fmt.Fprintf(&b, "left behind: %d messages that waited to be heard, %d replies that waited to be sent\n", r.Unheard, r.Unsent)
	}
	fmt.Fprintf(&b, "rescued into %s: %d jobs, %d events\n", out, r.Jobs, r.Events)
	return show(s.out, b.String())
}

// unfit says what to do about a file that has faults.
func unfit(db string, faults int) error {
	return failure("restore a copy, or take what can be read: rodcall check --db "+db+" --rescue rescued.db", "%s has %d faults", db, faults)
}
