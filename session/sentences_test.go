package session_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// sentenceRE is what two words look like.
var sentenceRE = regexp.MustCompile(`\p{L}{2,}[^\p{L}]* +[^\p{L}]*\p{L}{2,}`)

// notSaid are the calls whose texts reach no person in a chat: errors and logs for
// the operator, answers to programs, what is drawn as an element of a file.
var notSaid = map[string]bool{
	"errors.New": true, "fmt.Errorf": true, "panic": true, "regexp.MustCompile": true, "http.Error": true, "fmt.Fprintf": true,
	"turnAway":  true, // what a program is told that posts to the webhook
	"log.Debug": true, "log.Info": true, "log.Warn": true, "log.Error": true,
}

// twoTongued are tables that hold both languages of their own accord: examples of
// commands, beside the words of the commands themselves. TestExamplesInMillimetres and
// its like hold them.
var twoTongued = map[string]bool{"metricExamples": true, "examples": true}

// typed are texts of two words that are no sentences: what a button sends, a name
// that a program knows, a key, what a platform says.
var typed = map[string]bool{
	"plate, tight": true, "grinding costs": true, "grind at most": true, "shim at most": true, "stack at most": true,
	"plate width": true, "step tolerance": true, "as found": true, "sign.button.next round": true,
	"#JSGF V1.0;\ngrammar rodcall;\n": true, "a voice note could not be recognised": true, // the head of a grammar; a log
	"is another program started with this token? end it; where it set a webhook, start this one again then": true, // a log
	"too big": true, "the platform answers %d %s": true, "session: own event refused: %v": true,
}

// TestNoSentenceOutsideTheCatalogue: no text of two words or more stands in the code
// that a person is answered by, but in the catalogue; and no label of a button and
// no line of an answer is a literal at all.
func TestNoSentenceOutsideTheCatalogue(t *testing.T) {
	files, literals := 0, 0
	for _, dir := range []string{".", "report", filepath.Join("..", "bot"), filepath.Join("..", "bot", "voice"), filepath.Join("..", "render")} {
		list, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			if strings.HasSuffix(f, "_test.go") || strings.HasPrefix(filepath.Base(f), "catalogue_") {
				continue
			}
			files++
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			n, bad := outside(t, f, src)
			literals += n
			for _, b := range bad {
				t.Error(b)
			}
		}
	}
	if files < 100 || literals < 1000 {
		t.Errorf("%d files with %d literals: not what this test is for", files, literals)
	}
	// What it is there to find, it finds.
	for _, line := range []string{
		`h.reply(answer{lines: []string{"level"}})`, `a.lines = append(a.lines, "level")`, `b := Button{"low", x}`,
		`b := []Button{{"low", x}}`, `r := Reply{Text: "level"}`, `s := "raise it"`, `h.say("key", "close call")`,
	} {
		if _, bad := outside(t, "made.go", []byte("package p\n\nfunc f() {\n"+line+"\n}\n")); len(bad) == 0 {
			t.Errorf("not found: %s", line)
		}
	}
}

// outside lists the texts of a file that belong into the catalogue, and counts all
// its literals.
func outside(t *testing.T, name string, src []byte) (literals int, bad []string) {
	t.Helper()
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	var above []ast.Node
	ast.Inspect(file, func(n ast.Node) bool {
		if n == nil {
			above = above[:len(above)-1]
			return true
		}
		above = append(above, n)
		l, ok := n.(*ast.BasicLit)
		if !ok || l.Kind != token.STRING {
			return true
		}
		literals++
		s, err := strconv.Unquote(l.Value)
		if err != nil {
			t.Fatal(err)
		}
		if shown(above, s) || sentenceRE.MatchString(s) && !typed[s] && !sends(above) && !unsaid(above) {
			bad = append(bad, set.Position(l.Pos()).String()+": "+l.Value+" is said, and not in the catalogue")
		}
		return true
	})
	return literals, bad
}

// letterRE is what any word has.
var letterRE = regexp.MustCompile(`\p{L}`)

// shown says that a literal is a button's label, a line of an answer or a text of a
// reply, with letters in it.
func shown(above []ast.Node, s string) bool {
	n := len(above) - 1
	if n < 1 || !letterRE.MatchString(s) {
		return false
	}
	switch up := above[n-1].(type) {
	case *ast.CompositeLit:
		if isButton(above[:n]) {
			return len(up.Elts) > 0 && up.Elts[0] == above[n]
		}
		if n < 2 {
			return false
		}
		field, ok := above[n-2].(*ast.KeyValueExpr)
		return ok && nameOf(field.Key) == "lines"
	case *ast.KeyValueExpr:
		if n < 2 || up.Value != above[n] {
			return false
		}
		lit, ok := above[n-2].(*ast.CompositeLit)
		return ok && (nameOf(lit.Type) == "Reply" && nameOf(up.Key) == "Text" || nameOf(up.Key) == "Label")
	case *ast.CallExpr:
		return nameOf(up.Fun) == "append" && len(up.Args) > 1 && strings.HasSuffix(nameOf(up.Args[0]), "lines") && up.Args[0] != above[n]
	}
	return false
}

// isButton says that the last node is a button, or one in a list of them.
func isButton(above []ast.Node) bool {
	n := len(above) - 1
	lit, ok := above[n].(*ast.CompositeLit)
	if !ok {
		return false
	}
	if lit.Type != nil {
		return nameOf(lit.Type) == "Button"
	}
	if n < 1 {
		return false
	}
	list, ok := above[n-1].(*ast.CompositeLit)
	if !ok {
		return false
	}
	array, ok := list.Type.(*ast.ArrayType)
	return ok && nameOf(array.Elt) == "Button"
}

// sends says that a literal is what a button sends, which is typed and not shown.
func sends(above []ast.Node) bool {
	n := len(above) - 1
	if n < 1 || !isButton(above[:n]) {
		return false
	}
	lit, ok := above[n-1].(*ast.CompositeLit)
	return ok && len(lit.Elts) == 2 && lit.Elts[1] == above[n]
}

// unsaid says that a literal goes where no person reads it.
func unsaid(above []ast.Node) bool {
	for _, n := range above {
		switch n := n.(type) {
		case *ast.ImportSpec, *ast.Field:
			return true
		case *ast.CallExpr:
			if notSaid[nameOf(n.Fun)] {
				return true
			}
		case *ast.ValueSpec:
			if twoTongued[n.Names[0].Name] {
				return true
			}
		}
	}
	return false
}

// nameOf is an expression's own name, behind what it is selected from: of b.log.Warn
// it is log.Warn, of a.lines lines.
func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		if x := nameOf(e.X); x == "log" || x == "errors" || x == "fmt" || x == "http" || x == "regexp" {
			return x + "." + e.Sel.Name
		}
		return e.Sel.Name
	}
	return ""
}
