package main

import (
	"fmt"
	"strings"
	"testing"
)

func TestCount(t *testing.T) {
	const (
		pass    = `{"Action":"pass","Package":"p","Test":"TestA"}`
		skip    = `{"Action":"skip","Package":"p","Test":"TestB"}`
		said    = `{"Action":"output","Package":"p","Test":"TestC","Output":"said\n"}`
		fail    = `{"Action":"fail","Package":"p","Test":"TestC"}`
		packOK  = `{"Action":"pass","Package":"p"}`
		packBad = `{"Action":"fail","Package":"p"}`
	)
	for _, test := range []struct {
		name       string
		lines      []string
		allowSkips bool
		well       bool
		last       string
	}{
		{"all passed", []string{pass, packOK}, false, true, "1 passed, 0 failed, 0 skipped"},
		{"nothing ran", []string{packOK}, false, false, "0 passed, 0 failed, 0 skipped"},
		{"a test failed", []string{pass, said, fail, packBad}, false, false, "1 passed, 1 failed, 0 skipped"},
		{"a package did not build", []string{pass, packBad}, false, false, "1 passed, 0 failed, 0 skipped"},
		{"a test was skipped", []string{pass, skip, packOK}, false, false, "1 passed, 0 failed, 1 skipped"},
		{"a skip was allowed", []string{pass, skip, packOK}, true, true, "1 passed, 0 failed, 1 skipped"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var out strings.Builder
			c := &tally{outputs: map[string][]string{}, out: &out}
			for _, l := range test.lines {
				c.take([]byte(l))
			}
			if got := c.close(test.allowSkips); got != test.well {
				t.Errorf("well: %v, want %v", got, test.well)
			}
			if !strings.HasSuffix(out.String(), test.last+"\n") {
				t.Errorf("printed %q, want it to end in %q", out.String(), test.last)
			}
			if failed := strings.Contains(fmt.Sprint(test.lines), "said"); failed != strings.Contains(out.String(), "said") {
				t.Errorf("printed %q: what a test said stands there only if it failed", out.String())
			}
		})
	}
}
