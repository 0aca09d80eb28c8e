package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// module is this module's path.
const module = "rodcall"

// root is the module's root as seen from this package.
const root = "../.."

// rooms says which other rooms each room may import directly, besides those
// that these may import themselves. A room that is not here is not known.
var rooms = map[string][]string{
	"cmd/rodcall":      {"cmd/rodcall/demo", "bot", "bot/voice", "session/term"},
	"cmd/rodcall/demo": {"session/term"},
	"bot":              {"session/engine"},
	"bot/apitest":      {},
	"bot/voice":        {"session/phrase"},
	"session/term":     {"session/engine"},
	"session/engine":   {"session/store", "session/report"},
	"session/store":    {"session"},
	"session/report":   {"session", "render"},
	"session":          {"session/phrase"},
	"session/phrase":   {"reduce"},
	"render":           {"reduce"},
	"reduce":           {},

	// Tests only: see testRooms.
	"session/madesite":     {"session"},
	"session/store/filled": {"session/store"},
	"render/readback":      {},
	"session/report/proof": {},
}

// testRooms hold what tests alone need: no program imports them, at any
// distance.
var testRooms = []string{"bot/apitest", "session/madesite", "session/store/filled", "render/readback", "session/report/proof"}

// pure rooms reach no clock, file, network or chance.
var pure = []string{"reduce", "render", "session", "session/phrase", "session/report", "session/madesite"}

// impure are the imports that a pure room does without, with all below them.
var impure = []string{"net", "os", "io/fs", "math/rand", "crypto/rand"}

// clocks are the names of package time that read a clock, wait, or read the
// machine's own settings: a pure room uses the package for its types only.
var clocks = []string{
	"Now", "Since", "Until", "Sleep", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc",
	"Local", "LoadLocation",
}

// source is one Go file of the module.
type source struct {
	path string // with slashes, from the module's root
	text []byte
	file *ast.File
	fset *token.FileSet
}

func (s source) room() string { return path.Dir(s.path) }
func (s source) test() bool   { return strings.HasSuffix(s.path, "_test.go") }

func parseSource(path string, text []byte) (source, error) {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, path, text, parser.ParseComments)
	return source{path, text, file, fset}, err
}

// files calls visit for every file of the module but those of git, and what
// .gitignore names: a program that was built here, its jobs, what the demo left.
func files(t *testing.T, visit func(path string, text []byte)) {
	t.Helper()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if d.Name() == ".git" || d.Name() == "rodcall-demo" || d.Name() == "rapid" {
				return filepath.SkipDir
			}
			return nil
		}
		if rel, err := filepath.Rel(root, p); err == nil && (rel == ".git" || rel == "rodcall" || rel == "rodcall.exe") ||
			strings.HasSuffix(p, ".db") || strings.HasSuffix(p, ".diff.png") {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		visit(filepath.ToSlash(rel), text)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func sources(t *testing.T) []source {
	t.Helper()
	var all []source
	files(t, func(p string, text []byte) {
		if path.Ext(p) != ".go" {
			return
		}
		s, err := parseSource(p, text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	})
	if len(all) < 20 {
		t.Fatalf("only %d Go files found: wrong root", len(all))
	}
	return all
}

// reaches says whether a room may import another, directly.
func reaches(from, to string) bool {
	for _, next := range rooms[from] {
		if next == to || reaches(next, to) {
			return true
		}
	}
	return false
}

// importFaults are the imports of a file that its room must not have. Tests
// may import as they need.
func importFaults(s source) []string {
	var faults []string
	if s.test() || strings.HasPrefix(s.path, ".") {
		return nil
	}
	if _, known := rooms[s.room()]; !known {
		return []string{"room " + s.room() + " is not in the list of rooms"}
	}
	for _, spec := range s.file.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return []string{err.Error()}
		}
		if to, ours := strings.CutPrefix(name, module+"/"); ours && slices.Contains(testRooms, to) {
			faults = append(faults, s.room()+" imports "+to+", which is for tests only")
			continue
		}
		if to, ours := strings.CutPrefix(name, module+"/"); ours && !reaches(s.room(), to) {
			faults = append(faults, s.room()+" imports "+to)
		}
		if !slices.Contains(pure, s.room()) {
			continue
		}
		for _, bad := range impure {
			if name == bad || strings.HasPrefix(name, bad+"/") {
				faults = append(faults, s.room()+", a pure room, imports "+name)
			}
		}
	}
	return faults
}

// clockFaults are the uses of a clock in a file of a pure room.
func clockFaults(s source) []string {
	if s.test() || !slices.Contains(pure, s.room()) {
		return nil
	}
	var faults []string
	local := ""
	for _, spec := range s.file.Imports {
		if spec.Path.Value != `"time"` {
			continue
		}
		local = "time"
		if spec.Name != nil {
			local = spec.Name.Name
		}
		if local == "." {
			faults = append(faults, s.path+" imports time with a dot")
		}
	}
	if local == "" {
		return nil
	}
	ast.Inspect(s.file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok && x.Name == local && slices.Contains(clocks, sel.Sel.Name) {
			faults = append(faults, fmt.Sprintf("%s uses time.%s", s.fset.Position(n.Pos()), sel.Sel.Name))
		}
		return true
	})
	return faults
}

// docFaults are the exported names of a file that have no doc comment. A group
// of constants, variables or types may share one.
func docFaults(s source) []string {
	if s.test() {
		return nil
	}
	var faults []string
	miss := func(name *ast.Ident) {
		faults = append(faults, fmt.Sprintf("%s: %s has no doc comment", s.fset.Position(name.Pos()), name.Name))
	}
	for _, d := range s.file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Name.IsExported() && d.Doc == nil && !faultMethod(d) && (d.Recv == nil || exportedReceiver(d.Recv)) {
				miss(d.Name)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch spec := spec.(type) {
				case *ast.TypeSpec:
					if spec.Name.IsExported() && d.Doc == nil && spec.Doc == nil && spec.Comment == nil {
						miss(spec.Name)
					}
				case *ast.ValueSpec:
					for _, name := range spec.Names {
						if name.IsExported() && d.Doc == nil && spec.Doc == nil && spec.Comment == nil {
							miss(name)
						}
					}
				}
			}
		}
	}
	return faults
}

// faultMethod says that a function is one of the methods that make a type an
// error: package errors says what they do.
func faultMethod(d *ast.FuncDecl) bool {
	return d.Recv != nil && (d.Name.Name == "Error" || d.Name.Name == "Unwrap")
}

func exportedReceiver(r *ast.FieldList) bool {
	found := false
	ast.Inspect(r, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Obj == nil || ok && id.Obj.Kind == ast.Typ {
			found = found || id.IsExported()
		}
		return true
	})
	return found
}

// machinePath matches a path that holds on one machine only.
var machinePath = regexp.MustCompile(`(^|[^\w.*:/-])/(home|root|Users|work|tmp|farm|mnt|var/folders)/\w`)

// vague are names that say nothing about what a file or room holds.
var vague = regexp.MustCompile(`(^|/)(util|utils|common|helpers|misc)(/|\.go$|_test\.go$)`)

// unfinished are the marks of work left undone.
var unfinished = regexp.MustCompile(`\b(` + "TO" + `DO|` + "FIX" + `ME|XX` + `X)\b`)

func blame(t *testing.T, faults []string) {
	t.Helper()
	for _, f := range faults {
		t.Error(f)
	}
}

func TestRoomsImportOneWay(t *testing.T) {
	for _, s := range sources(t) {
		blame(t, importFaults(s))
	}
}

func TestPureRoomsHaveNoClock(t *testing.T) {
	for _, s := range sources(t) {
		blame(t, clockFaults(s))
	}
}

func TestExportedNamesAreDocumented(t *testing.T) {
	for _, s := range sources(t) {
		blame(t, docFaults(s))
	}
}

func TestGoFilesAreFormatted(t *testing.T) {
	for _, s := range sources(t) {
		want, err := format.Source(s.text)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(want, s.text) {
			t.Errorf("%s is not as gofmt writes it", s.path)
		}
	}
}

func TestNamesAndTextOfFiles(t *testing.T) {
	files(t, func(p string, text []byte) {
		if vague.MatchString(p) {
			t.Errorf("%s: name it for what it holds", p)
		}
		if len(text) > 1<<20 {
			t.Errorf("%s holds %d bytes: more than 1 MiB", p, len(text))
		}
		if bytes.IndexByte(text, 0) >= 0 {
			return // not text
		}
		if m := machinePath.Find(text); m != nil {
			t.Errorf("%s: path of one machine: %q", p, m)
		}
		if m := unfinished.Find(text); m != nil && path.Ext(p) == ".go" {
			t.Errorf("%s: unfinished: %q", p, m)
		}
	})
}

// TestHouseRulesBite feeds the rules above files that break them.
func TestHouseRulesBite(t *testing.T) {
	tests := []struct {
		name, path, text string
		rule             func(source) []string
		want             int
	}{
		{"upwards", "reduce/x.go", `import "rodcall/session"`, importFaults, 1},
		{"sideways", "session/phrase/x.go", `import "rodcall/render"`, importFaults, 1},
		{"downwards", "session/report/x.go", `import "rodcall/reduce"`, importFaults, 0},
		{"program imports a room for tests", "cmd/rodcall/x.go", `import "rodcall/session/madesite"`, importFaults, 1},
		{"test imports a room for tests", "session/x_test.go", `import "rodcall/session/madesite"`, importFaults, 0},
		{"room for tests imports downwards", "session/madesite/x.go", `import "rodcall/reduce"`, importFaults, 0},
		{"room for tests has no chance of its own", "session/madesite/x.go", `import "math/rand/v2"`, importFaults, 1},
		{"unknown room", "session/extra/x.go", ``, importFaults, 1},
		{"file", "session/x.go", `import "os"`, importFaults, 1},
		{"below net", "render/x.go", `import "net/http"`, importFaults, 1},
		{"chance", "reduce/x.go", `import "math/rand/v2"`, importFaults, 1},
		{"network beyond the pure rooms", "session/store/x.go", `import "net"`, importFaults, 0},
		{"like a bad name", "session/x.go", `import "network"`, importFaults, 0},
		{"clock", "session/x.go", "import \"time\"\nvar x = time.Now()", clockFaults, 1},
		{"clock renamed", "session/x.go", "import clock \"time\"\nfunc f() { clock.Sleep(1) }", clockFaults, 1},
		{"dot", "session/x.go", `import . "time"`, clockFaults, 1},
		{"types of time", "session/x.go", "import \"time\"\nvar x time.Time = time.Unix(0, 0).UTC()", clockFaults, 0},
		{"undocumented func", "reduce/x.go", "func F() {}", docFaults, 1},
		{"undocumented method", "reduce/x.go", "type t int\n\nfunc (t) F() {}\n\n// T is.\ntype T int\n\nfunc (*T) F() {}", docFaults, 1},
		{"undocumented constant", "reduce/x.go", "const (\n\tA = 1\n\tB = 2 // b\n)", docFaults, 1},
		{"documented group", "reduce/x.go", "// Two.\nconst (\n\tA = 1\n\tB = 2\n)", docFaults, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := parseSource(test.path, []byte("package x\n\n"+test.text+"\n"))
			if err != nil {
				t.Fatal(err)
			}
			if got := test.rule(s); len(got) != test.want {
				t.Errorf("%d faults %q, want %d", len(got), got, test.want)
			}
		})
	}
	for _, bad := range []string{"see /" + "home/ann/x", "\"/" + "tmp/x\"", "(/" + "root/go)"} {
		if !machinePath.MatchString(bad) {
			t.Errorf("%q is not seen as a path of one machine", bad)
		}
	}
	for _, good := range []string{"./tmp/x", "https://example.org/home/x", "$scratch/tmp/x", "raise/lower"} {
		if machinePath.MatchString(good) {
			t.Errorf("%q is seen as a path of one machine", good)
		}
	}
	for _, bad := range []string{"session/util/x.go", "reduce/helpers.go", "misc/x.txt", "bot/common_test.go"} {
		if !vague.MatchString(bad) {
			t.Errorf("%q is seen as a name that says something", bad)
		}
	}
	for _, good := range []string{"session/utility.go", "reduce/commons.go"} {
		if vague.MatchString(good) {
			t.Errorf("%q is seen as a vague name", good)
		}
	}
}
