package main

import "testing"

func TestNearest(t *testing.T) {
	words := []string{"chat", "play", "parse", "export", "demo", "help", "version"}
	for word, want := range map[string]string{
		"exprot": "export", "pars": "parse", "Chat": "chat", "ver": "version", "demos": "demo",
		"serve": "", "": "", "walls": "", "zzzzzz": "", "x": "",
	} {
		if got := nearest(word, words); got != want {
			t.Errorf("nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

func TestEdits(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "abc", 0},
		{"abc", "abd", 1}, {"abc", "ac", 1}, {"ac", "abc", 1}, {"kitten", "sitting", 3},
	} {
		if got := edits(test.a, test.b); got != test.want {
			t.Errorf("edits(%q, %q) = %d, want %d", test.a, test.b, got, test.want)
		}
	}
}
