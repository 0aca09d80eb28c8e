package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

func readDoc(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestDocsNameWhatIsThere follows the relative links of the documents, and
// looks up every command that they tell the reader to type.
func TestDocsNameWhatIsThere(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)\)`)
	typed := regexp.MustCompile("(?m)(?:`|^|go run \\./cmd/)rodcall ([a-z]+)")
	var names []string
	for _, c := range commands() {
		names = append(names, c.name)
	}
	for _, doc := range []string{"README.md", "DEVELOPERS.md"} {
		text := readDoc(t, doc)
		for _, m := range link.FindAllStringSubmatch(text, -1) {
			if _, err := os.Stat(filepath.Join(root, m[1])); err != nil {
				t.Errorf("%s links to %s: %v", doc, m[1], err)
			}
		}
		found := typed.FindAllStringSubmatch(text, -1)
		if len(found) == 0 {
			t.Errorf("%s names no command", doc)
		}
		for _, m := range found {
			if !slices.Contains(names, m[1]) {
				t.Errorf("%s names the command %q, which there is not", doc, m[1])
			}
		}
	}
}

// TestReadmeMessages reads the sample messages of the README: each is a
// reading or a command.
func TestReadmeMessages(t *testing.T) {
	_, rest, _ := strings.Cut(readDoc(t, "README.md"), "Everything is a short message:\n\n```\n")
	block, _, ok := strings.Cut(rest, "\n```")
	if !ok {
		t.Fatal("the README has no block of messages")
	}
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, rectangle(t))
	if err != nil {
		t.Fatal(err)
	}
	c := phrase.Context{
		Rod: reduce.Direct, Unit: reduce.UnitInch, Finest: reduce.UnitInch.Finest(),
		Outline: &o, Asked: reduce.Corner(1),
	}
	count := 0
	for line := range strings.SplitSeq(block, "\n") {
		message, _, _ := strings.Cut(line, "  ")
		for part := range strings.SplitSeq(message, ", ") {
			count++
			if m := phrase.Parse(c, part); m.Kind != phrase.Reading && m.Kind != phrase.Command {
				t.Errorf("%q means %+v", part, m)
			}
		}
	}
	if count < 10 {
		t.Errorf("only %d messages found", count)
	}
}

func rectangle(t *testing.T) []reduce.Leg {
	t.Helper()
	return reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot)
}
