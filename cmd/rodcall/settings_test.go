package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestSettle: the command line, else the environment, else the file, else ours;
// what cannot be taken is told with where it came from.
func TestSettle(t *testing.T) {
	got := map[string]string{}
	odd := errors.New("odd")
	take := func(name string) func(string) error {
		return func(v string) error {
			if v == "odd" {
				return odd
			}
			got[name] = v
			return nil
		}
	}
	all := []setting{
		{name: "db", takes: "FILE", set: take("db")},
		{name: "log-form", takes: "text|json", ours: "text", set: take("log-form")},
		{name: "zone", takes: "NAME", ours: "UTC", set: take("zone")},
	}
	file := filepath.Join(t.TempDir(), "rodcall.conf")
	for _, c := range []struct {
		name, file string
		args, env  []string
		want       string // db, log-form, zone; else the error
		hint       string
	}{
		{"nobody says", "", nil, nil, " text UTC", ""},
		{"a file", "# ours\n\ndb = a=b.db\n  zone=Mars\n", nil, nil, "a=b.db text Mars", ""},
		{"the environment before the file", "db = a.db\nlog-form = json", nil, []string{"RODCALL_DB=b.db"}, "b.db json UTC", ""},
		{"the command line before both", "db = a.db", []string{"--db", "c.db", "--zone="}, []string{"RODCALL_DB=b.db", "RODCALL_ZONE=Mars"}, "c.db text ", ""},
		{"odd in the file", "db = a.db\n# x\nzone = odd", nil, nil, "FILE, line 3: odd", ""},
		{"odd in the environment", "", nil, []string{"RODCALL_LOG_FORM=odd"}, "RODCALL_LOG_FORM: odd", ""},
		{"odd on the command line", "", []string{"--db", "odd"}, nil, "odd", ""},
		{"no setting", "zoen = UTC", nil, nil, `FILE, line 1: there is no setting "zoen"`, "did you mean: zone = UTC"},
		{"no form", "zone UTC", nil, nil, `FILE, line 1: "zone UTC" is no setting`, "one setting a line: db = walk.db"},
		{"as some editors write it", "\ufeffdb = a.db\r\nzone = Mars\r\n", nil, nil, "a.db text Mars", ""},
		{"in quotation marks", `db = "a.db"`, nil, nil, "FILE, line 1: a value stands without quotation marks", "db = a.db"},
		{"a comment behind", "db = a.db # ours", nil, nil, "FILE, line 1: a comment stands on a line of its own", "db = a.db"},
		{"too long", "# x\ndb = " + strings.Repeat("x", 1<<17), nil, nil, "FILE, line 2: it is longer than a setting can be", "one setting a line: db = walk.db"},
		{"twice", "zone = UTC\nzone = UTC", nil, nil, "FILE, line 2: zone stands twice", "say each once"},
		{"the token alone", "4242:stand-in-token-of-nobody-000000000", nil, nil, "FILE, line 1: the token does not belong among the settings", "put it into a file by itself: token-file = token.txt"},
		{"the token in quotation marks", `token-file = "4242:stand-in-token-of-nobody-000000000"`, nil, nil, "FILE, line 1: the token does not belong among the settings", "put it into a file by itself: token-file = token.txt"},
		{"the token under another name", "tokn = 4242:stand-in-token-of-nobody-000000000 # ours", nil, nil, "FILE, line 1: the token does not belong among the settings", "put it into a file by itself: token-file = token.txt"},
		{"the token", "token = 1:x", nil, nil, "FILE, line 1: the token does not belong among the settings", "put it into a file by itself: token-file = token.txt"},
	} {
		t.Run(c.name, func(t *testing.T) {
			clear(got)
			if err := os.WriteFile(file, []byte(c.file), 0o600); err != nil {
				t.Fatal(err)
			}
			env := map[string]string{"RODCALL_CONFIG": file}
			for _, e := range c.env {
				name, value, _ := strings.Cut(e, "=")
				env[name] = value
			}
			_, err := settle(newFlags("serve"), all, c.args, func(name string) string { return env[name] })
			if err == nil {
				if said := got["db"] + " " + got["log-form"] + " " + got["zone"]; said != c.want {
					t.Errorf("%q, want %q", said, c.want)
				}
				return
			}
			if text := strings.ReplaceAll(err.Error(), file, "FILE"); text != c.want {
				t.Errorf("error %q, want %q", text, c.want)
			}
			if f := (*fault)(nil); c.hint != "" && (!errors.As(err, &f) || f.hint != c.hint || f.status != calledWrongly) {
				t.Errorf("fault %+v, want the hint %q", f, c.hint)
			}
		})
	}
	if _, err := settle(newFlags("serve"), all, []string{"--config", file + ".gone"}, func(string) string { return "" }); err == nil {
		t.Error("a file that is not there was read")
	}
}
