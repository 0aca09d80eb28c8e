package main

import (
	"context"
	"errors"
	"io"
	"os"

	"rodcall/session/store"
	"rodcall/session/term"
)

const playUsage = `usage: rodcall play --db FILE [--pictures DIR] [CHAT|-]

Plays a chat, one step a line, from the file CHAT or from standard input, and
prints each step behind "> " with the answers indented below it. The job stays
in FILE, which is made where there is none; playing on goes on from there.

steps:
  3/8 low                what the present speaker sends; \n is a line break
  ann: 3/8 low           ann speaks from here on (the first speaker is crew)
  ann edits 3: -1/4      ann changes her message number 3
  ann replies 3: -1/4    ann answers message 3
  ann taps "on"          ann taps the newest button with that label
  ann shows: c3 crack    ann sends a photo, with words or without; it is made here
  ann speaks: on         a voice note in which that is heard
  ann speaks (close: three eighths high; on): three eighths low
                         the same; the recogniser could not rule out the others
  ann speaks (fails: loud):
                         a voice note in which nothing is heard: engine, loud,
                         long, empty, talk, broken, language or busy
  @+15s                  the clock moves on; every message takes 10 s
  !restart               everything is closed and opened again
  !repeat                the last update is delivered again
  # a comment

flags:
  --db FILE              the file of the jobs
  --pictures DIR         where pictures go, as 001.png and so on

example:
  printf 'new East house\n40x28\n3/8 low\n' | rodcall play --db walk.db
`

const chatUsage = `usage: rodcall chat --db FILE [--pictures DIR]

Talks with you in the terminal: type what the rod shows, as you would in the
chat. The job stays in FILE. End with /quit, or with the end of input.

flags:
  --db FILE              the file of the jobs, made where there is none
  --pictures DIR         where pictures go; beside FILE if not given

example:
  rodcall chat --db walk.db
  new East house
  40x28
  3/8 low
`

func runPlay(ctx context.Context, s streams, args []string) error {
	f := newFlags("play")
	db, pictures := f.text("db", ""), f.text("pictures", "")
	rest, err := f.parse(args, 1)
	if err != nil {
		return err
	}
	if *db == "" {
		return wrongly("rodcall play --db walk.db chat.txt", "play needs --db, the file of the jobs")
	}
	in := s.in
	if len(rest) == 1 && rest[0] != "-" {
		file, err := os.Open(rest[0])
		if err != nil {
			return failure("a chat is a text file with one step a line: see rodcall help play", "open the chat: %w", err)
		}
		defer file.Close() //nolint:errcheck // it was only read
		if is, err := file.Stat(); err == nil && is.IsDir() {
			return failure("a chat is a text file with one step a line: see rodcall help play", "open the chat: %s is a folder", rest[0])
		}
		in = file
	}
	return talk(*db, term.Play(ctx, term.Options{DB: *db, Pictures: *pictures, In: in, Out: s.out}))
}

func runChat(ctx context.Context, s streams, args []string) error {
	f := newFlags("chat")
	db, pictures := f.text("db", ""), f.text("pictures", "")
	if _, err := f.parse(args, 0); err != nil {
		return err
	}
	if *db == "" {
		return wrongly("rodcall chat --db walk.db", "chat needs --db, the file of the jobs")
	}
	return talk(*db, term.Chat(ctx, term.Options{DB: *db, Pictures: *pictures, In: s.in, Out: s.out}))
}

// talk puts an error of the terminal into this program's words.
func talk(path string, err error) error {
	var step *term.StepError
	var damaged *store.DamagedError
	var chain *store.ChainError
	switch {
	case err == nil || errors.Is(err, io.EOF):
		return nil
	case errors.As(err, &damaged), errors.As(err, &chain):
		return openFault(path, err)
	case errors.As(err, &step):
		return failure("what a step looks like: rodcall help play", "%w", err)
	}
	return makeFault(path, err)
}
