package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"rodcall/bot"
)

// setting is one thing that a long-running command can be told: on the command
// line, else in the environment, else in a file, else it is what we think good.
type setting struct {
	name  string // --name; RODCALL_NAME, with _ for -; name in the file
	takes string // what its value is, for help: FILE, URL
	ours  string // the value where nobody says another
	help  string // its lines in the help
	// set checks a value and takes it; the error says what works.
	set func(v string) error
}

// variable is the setting's name in the environment.
func (s setting) variable() string {
	return "RODCALL_" + strings.ToUpper(strings.ReplaceAll(s.name, "-", "_"))
}

// origin is where a value came from.
type origin string

// told is a value, and who said it.
type told struct {
	value string
	from  origin // "" for nobody: it is ours
}

// line is a line of a settings file.
type line struct {
	name, value string
	number      int
}

// settle finds the value of every setting, has each checked and taken, and
// returns what holds. Of several faults the first in the order of the settings
// is told, beside the values; there are none where these could not be found. What else
// may stand on the command line is in f.
func settle(f *flags, all []setting, args []string, getenv func(string) string) (map[string]told, error) {
	given := map[string]*string{}
	for _, s := range all {
		given[s.name] = f.text(s.name, "")
	}
	path := f.text("config", "")
	if _, err := f.parse(args, 0); err != nil {
		return nil, err
	}
	if *path == "" {
		*path = getenv("RODCALL_CONFIG")
	}
	lines, err := readSettings(*path, all)
	if err != nil {
		return nil, err
	}
	out := map[string]told{}
	var wrong error
	for _, s := range all {
		t := told{value: s.ours}
		if i := slices.IndexFunc(lines, func(l line) bool { return l.name == s.name }); i >= 0 {
			t = told{lines[i].value, origin(fmt.Sprintf("%s, line %d", *path, lines[i].number))}
		}
		if v := getenv(s.variable()); v != "" {
			t = told{v, origin(s.variable())}
		}
		if f.given(s.name) {
			t = told{*given[s.name], origin("--" + s.name)}
		}
		out[s.name] = t
		if err := s.set(t.value); err != nil && wrong == nil {
			wrong = t.blame(err)
		}
	}
	return out, wrong
}

// blame says where a value came from that cannot be taken, where it was not the
// command line.
func (t told) blame(err error) error {
	if t.from == "" || strings.HasPrefix(string(t.from), "--") {
		return err
	}
	f := &fault{status: calledWrongly, what: err}
	errors.As(err, &f)
	return &fault{f.status, fmt.Errorf("%s: %w", t.from, f.what), f.hint}
}

// readSettings reads a file of settings: a line each, "name = value"; # begins a
// comment.
func readSettings(path string, all []setting) (lines []line, err error) {
	if path == "" {
		return nil, nil
	}
	const example = "one setting a line: db = walk.db"
	file, err := os.Open(path)
	if err != nil {
		return nil, failure("name a file of settings: --config rodcall.conf; "+whatIsThere(path), "read the settings: %w", err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	names := make([]string, len(all))
	for i, s := range all {
		names[i] = s.name
	}
	scan := bufio.NewScanner(file)
	n := 1
	for ; scan.Scan(); n++ {
		text := strings.TrimSpace(strings.TrimPrefix(scan.Text(), byteOrderMark))
		if text == "" || text[0] == '#' {
			continue
		}
		name, value, ok := strings.Cut(text, "=")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		switch {
		case name == "token" || holdsToken(text):
			return nil, wrongly("put it into a file by itself: token-file = token.txt", "%s, line %d: the token does not belong among the settings", path, n)
		case !ok:
			return nil, wrongly(example, "%s, line %d: %q is no setting", path, n, text)
		case !slices.Contains(names, name):
			hint := "see what there is with: rodcall help serve"
			if near := nearest(name, names); near != "" {
				hint = "did you mean: " + near + " = " + value
			}
			return nil, wrongly(hint, "%s, line %d: there is no setting %q", path, n, name)
		case slices.ContainsFunc(lines, func(l line) bool { return l.name == name }):
			return nil, wrongly("say each once", "%s, line %d: %s stands twice", path, n, name)
		case len(value) > 1 && strings.ContainsRune("\"'", rune(value[0])) && value[0] == value[len(value)-1]:
			return nil, wrongly(name+" = "+value[1:len(value)-1], "%s, line %d: a value stands without quotation marks", path, n)
		case strings.Contains(value, " #"):
			bare, _, _ := strings.Cut(value, " #")
			return nil, wrongly(name+" = "+strings.TrimSpace(bare), "%s, line %d: a comment stands on a line of its own", path, n)
		}
		lines = append(lines, line{name, value, n})
	}
	if errors.Is(scan.Err(), bufio.ErrTooLong) {
		return nil, wrongly(example, "%s, line %d: it is longer than a setting can be", path, n)
	}
	if err := scan.Err(); err != nil {
		return nil, failure(example, "read the settings in %s: %w", path, err)
	}
	return lines, nil
}

// byteOrderMark is what some editors put before a text.
const byteOrderMark = "\ufeff"

// holdsToken says that a line holds a token somewhere.
func holdsToken(line string) bool {
	parts := strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" \t=\"'#", r) })
	return slices.ContainsFunc(parts, isToken)
}

// isToken says that a text is a token, which is not to be shown.
func isToken(text string) bool {
	_, err := bot.CleanToken(text)
	return err == nil
}

// strays are the variables that are named like settings, and are none.
func strays(all []setting, environ []string) (names []string) {
	for _, e := range environ {
		name, _, _ := strings.Cut(e, "=")
		if !strings.HasPrefix(name, "RODCALL_") || slices.ContainsFunc(all, func(s setting) bool { return s.variable() == name }) ||
			slices.Contains(otherVariables, name) || strings.HasPrefix(name, "RODCALL_TEST") {
			continue
		}
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// otherVariables are those that are no settings, and mean something: to serve, to
// what it starts, or to tests.
var otherVariables = []string{tokenVariable, "RODCALL_CONFIG", "RODCALL_GRAMMAR", "RODCALL_KILLS"}

// flagColumn is where the help of a flag begins.
const flagColumn = 25

// settingsHelp is the part of a usage text that lists settings as flags.
func settingsHelp(all []setting) string {
	var b strings.Builder
	for _, s := range all {
		head := "  --" + s.name + " " + s.takes
		help := s.help
		if s.ours != "" {
			help += " (" + s.ours + ")"
		}
		if len(head) >= flagColumn {
			b.WriteString(head + "\n")
			head = ""
		}
		for _, l := range wrap(help, 79-flagColumn) {
			fmt.Fprintf(&b, "%-*s%s\n", flagColumn, head, l)
			head = ""
		}
	}
	return b.String()
}

// wrap breaks a text between words into lines of a width.
func wrap(text string, width int) (lines []string) {
	for word := range strings.FieldsSeq(text) {
		if n := len(lines); n > 0 && len(lines[n-1])+1+len(word) <= width {
			lines[n-1] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}
