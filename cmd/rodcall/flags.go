package main

import (
	"errors"
	"flag"
	"io"
	"strings"
)

// flags are the flags of one command: text values, each written "--name value"
// or "--name=value" before any other argument.
type flags struct {
	command string
	set     *flag.FlagSet
	names   []string
}

func newFlags(command string) *flags {
	set := flag.NewFlagSet(command, flag.ContinueOnError)
	set.SetOutput(io.Discard)
	set.Usage = func() {}
	return &flags{command: command, set: set}
}

// text adds a flag that holds one text.
func (f *flags) text(name, value string) *string {
	f.names = append(f.names, name)
	return f.set.String(name, value, "")
}

// yes adds a flag that holds no value.
func (f *flags) yes(name string) *bool {
	f.names = append(f.names, name)
	return f.set.Bool(name, false, "")
}

// list adds a flag that may be given several times, or with several values
// between commas.
func (f *flags) list(name string) *[]string {
	f.names = append(f.names, name)
	var all []string
	f.set.Func(name, "", func(v string) error {
		for part := range strings.SplitSeq(v, ",") {
			if part = strings.TrimSpace(part); part != "" {
				all = append(all, part)
			}
		}
		return nil
	})
	return &all
}

// given says whether the flag was on the command line.
func (f *flags) given(name string) bool {
	found := false
	f.set.Visit(func(g *flag.Flag) { found = found || g.Name == name })
	return found
}

// parse reads the arguments and returns those behind the flags, at most as
// many as the command takes.
func (f *flags) parse(args []string, most int) ([]string, error) {
	help := "rodcall help " + f.command
	if err := f.set.Parse(args); err != nil {
		return nil, f.explain(err)
	}
	rest := f.set.Args()
	if len(rest) <= most {
		return rest, nil
	}
	extra := rest[most]
	if name := strings.TrimLeft(extra, "-"); len(extra) > 1 && extra[0] == '-' {
		return nil, wrongly("flags come first: see "+help, "flag --%s stands behind %q", name, rest[0])
	}
	return nil, wrongly("see "+help, "%s does not take %q", f.command, extra)
}

// explain puts an error of the flag package into this program's words.
func (f *flags) explain(err error) error {
	help := "see rodcall help " + f.command
	if errors.Is(err, flag.ErrHelp) {
		return wrongly(help, "%s has no flag -h here", f.command)
	}
	text := err.Error()
	if name, ok := strings.CutPrefix(text, "flag provided but not defined: -"); ok {
		if near := nearest(name, f.names); near != "" {
			help = "did you mean: --" + near
		}
		return wrongly(help, "%s has no flag --%s", f.command, name)
	}
	if name, ok := strings.CutPrefix(text, "flag needs an argument: -"); ok {
		return wrongly(help, "flag --%s needs a value", name)
	}
	return wrongly(help, "%s", text)
}
