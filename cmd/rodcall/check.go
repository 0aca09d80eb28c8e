package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"rodcall/bot"
	"rodcall/session/store"
)

const checkUsage = `usage: rodcall check --db FILE [--rescue NEW] [--token-file FILE] [--api URL]

Reads all of a file, also while serve runs: every page, every event of every
job, each held against the one before it, and every other row. Each job is
folded anew and held against what its header says. It prints the first event
of a job that does not fit, and where a log ends too early. Where a token is
given, or RODCALL_TOKEN is set, it asks the platform whether it is good.

What it shows: that the file is as the program wrote it, and that nobody changed
an event without changing all that follow. What it cannot show: that nobody
wrote all of a job anew. A printed report anchors that: it bears the number and
the hash of the newest event, and they must be in the file.

flags:
  --db FILE              the file of the jobs
  --rescue NEW           what can be read of a damaged file, as a new one
  --token-file FILE      holds the token of the bot, alone
  --api URL              where the Bot API is (https://api.telegram.org)

example:
  rodcall check --db walk.db
`

func runCheck(ctx context.Context, s streams, args []string) error {
	f := newFlags("check")
	db, rescue := f.text("db", ""), f.text("rescue", "")
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
	if err := soundFile(ctx, s, *db); err != nil {
		return err
	}
	return checkToken(ctx, s, *token, *api)
}

// maxFaults is how many faults are printed; more are only counted.
const maxFaults = 100

// soundFile reads all of a file and prints what does not fit.
func soundFile(ctx context.Context, s streams, db string) (err error) {
	file, end, err := snapshot(ctx, db)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, end()) }()
	n := 0
	var printed error
	c, err := file.Check(func(f store.Fault) {
		if n++; n <= maxFaults && printed == nil {
			printed = show(s.out, "fault: "+f.Error()+"\n")
		}
	})
	if err := errors.Join(err, printed); err != nil {
		return err
	}
	if n > 0 {
		return failure("restore a copy, or take what can be read: rodcall check --db "+db+" --rescue rescued.db", "%s has %d faults", db, n)
	}
	return show(s.out, fmt.Sprintf("file: sound; %s; %d to be heard, %d to be sent, %d could not be sent, %d could not be heard\n",
		counted(c), c.Inbox, c.Outbox, c.Parked, c.Failed))
}

// checkToken asks the platform whether a token is good, where there is one.
func checkToken(ctx context.Context, s streams, path, api string) error {
	text := os.Getenv("RODCALL_TOKEN")
	if path != "" {
		b, err := os.ReadFile(path)
		if err != nil {
			return failure("put the token into a file by itself: --token-file token.txt", "read the token: %w", err)
		}
		text = string(b)
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
		return openFault(out, err)
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
	fmt.Fprintf(&b, "rescued into %s: %d jobs, %d events\n", out, r.Jobs, r.Events)
	return show(s.out, b.String())
}
