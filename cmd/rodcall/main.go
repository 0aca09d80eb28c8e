// Command rodcall keeps the field book of a foundation that is checked for
// level with a laser and a rod: a chat takes what the rod shows, asks for the
// next station, and draws how far each spot must come up or down.
//
// What it prints when something is wrong follows three rules. Errors are two
// lines on standard error, "error: " and "hint: ", in lower case and without
// a full stop. The error says what was wrong; the hint quotes something that
// works. The exit status is 0 when it is done, 1 when it failed, 2 when it was
// called wrongly.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"

	"rodcall/session/store"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends it at once
	status := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// command is one sub-command.
type command struct {
	name  string
	short string // one line, for the list of commands
	usage string // what help NAME prints: a synopsis, the flags, a worked example
	run   func(ctx context.Context, s streams, args []string) error
}

// commands lists every sub-command in the order of the help.
func commands() []command {
	return []command{
		{"demo", "play a made-up job and leave its drawing in ./rodcall-demo", demoUsage, runDemo},
		{"chat", "talk with it in the terminal", chatUsage, runChat},
		{"serve", "talk with people on Telegram", serveUsage(), runServe},
		{"play", "play a chat from a file, one step a line", playUsage, runPlay},
		{"parse", "say what messages mean, one JSON object a line", parseUsage, runParse},
		{"hear", "say what a voice note says, as one JSON object", hearUsage, runHear},
		{"export", "write a job as JSON, CSV, or a drawing", exportUsage, runExport},
		{"backup", "copy the file of the jobs, also while serve runs", backupUsage, runBackup},
		{"restore", "put a copy in the place of the file", restoreUsage, runRestore},
		{"check", "read all of a file, and say what does not fit", checkUsage, runCheck},
		{"person", "say what a file holds of somebody, or forget them", personUsage, runPerson},
		{"help", "print this, or the help of one command", helpUsage, runHelp},
		{"version", "print the version", versionUsage, runVersion},
	}
}

// run is the whole program apart from the process around it; the result is the
// exit status.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	err := dispatch(ctx, streams{stdin, stdout, stderr}, args)
	if err == nil {
		return 0
	}
	f := &fault{status: failed, what: err}
	if damaged := (*store.DamagedError)(nil); !errors.As(err, &f) && errors.As(err, &damaged) {
		errors.As(openFault(damaged.Path, err), &f)
	}
	say := func(head, text string) {
		// Nothing is left to tell when standard error itself is gone.
		_, _ = fmt.Fprintf(stderr, "%s: %s\n", head, text)
	}
	say("error", f.Error())
	if f.hint != "" {
		say("hint", f.hint)
	}
	return f.status
}

func dispatch(ctx context.Context, s streams, args []string) error {
	if len(args) == 0 {
		return wrongly("see what there is with: rodcall help", "no command given")
	}
	name, rest := args[0], args[1:]
	switch name {
	case "-h", "-help", "--help":
		name = "help"
	case "--version":
		name = "version"
	}
	c, err := find(name)
	if err != nil {
		return err
	}
	for _, a := range rest {
		if a == "--" {
			break
		}
		if a == "-h" || a == "-help" || a == "--help" {
			return show(s.out, c.usage)
		}
	}
	return c.run(ctx, s, rest)
}

// find returns the command of that name, or an error that suggests the nearest.
func find(name string) (command, error) {
	all := commands()
	i := slices.IndexFunc(all, func(c command) bool { return c.name == name })
	if i >= 0 {
		return all[i], nil
	}
	names := make([]string, len(all))
	for i, c := range all {
		names[i] = c.name
	}
	hint := "see what there is with: rodcall help"
	if near := nearest(name, names); near != "" {
		hint = "did you mean: rodcall " + near
	}
	return command{}, wrongly(hint, "there is no command %q", name)
}

func runHelp(_ context.Context, s streams, args []string) error {
	switch len(args) {
	case 0:
		return show(s.out, overview())
	case 1:
		c, err := find(args[0])
		if err != nil {
			return err
		}
		return show(s.out, c.usage)
	}
	return wrongly("one at a time: rodcall help "+args[0], "help takes one command")
}

func runVersion(_ context.Context, s streams, args []string) error {
	if len(args) > 0 {
		return wrongly("rodcall version", "version takes nothing after it")
	}
	version, with := "unknown", "unknown"
	if b, ok := debug.ReadBuildInfo(); ok {
		version, with = b.Main.Version, b.GoVersion
	}
	return show(s.out, fmt.Sprintf("rodcall %s, built with %s\n", version, with))
}

// show writes text to standard output.
func show(w io.Writer, text string) error {
	if _, err := io.WriteString(w, text); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return nil
}

// nearest returns the word that differs least from the one given, "" where
// none is near.
func nearest(word string, words []string) string {
	best, least := "", 3
	for _, w := range words {
		d := edits(strings.ToLower(word), w)
		if d < least || strings.HasPrefix(w, word) && len(word) > 1 && d < 2*least {
			best, least = w, d
		}
	}
	return best
}

// edits counts the letters to be put in, left out or changed to turn a into b.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
