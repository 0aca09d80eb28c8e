package session_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rodcall/session"
	"rodcall/session/phrase"
)

var gapRE = regexp.MustCompile(`\{(\d+)[^}]*\}`)

func gaps(s string) []string {
	var out []string
	for _, m := range gapRE.FindAllStringSubmatch(s, -1) {
		out = append(out, m[1])
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// TestCatalogueIsComplete: every text stands in both languages, with the same
// gaps, and the two differ unless they hold nothing but gaps.
func TestCatalogueIsComplete(t *testing.T) {
	for k, two := range session.Texts() {
		en, es := two[0], two[1]
		if strings.TrimSpace(en) == "" || strings.TrimSpace(es) == "" {
			t.Errorf("%s: a language is missing", k)
		}
		if a, b := gaps(en), gaps(es); !slices.Equal(a, b) {
			t.Errorf("%s: gaps %v in English, %v in Spanish", k, a, b)
		}
		if letters := gapRE.ReplaceAllString(en, ""); len(strings.Trim(letters, " :,.()…%s")) > 3 && en == es {
			t.Errorf("%s: the same in both languages: %q", k, en)
		}
	}
}

// TestCatalogueIsUsed: every key that the code names is there, and every key
// that is there is named.
func TestCatalogueIsUsed(t *testing.T) {
	named := map[string]bool{}
	prefixes := []string{}
	for _, dir := range []string{".", "report"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			file, err := parser.ParseFile(token.NewFileSet(), f, src, 0)
			if err != nil {
				t.Fatal(err)
			}
			entries := strings.HasPrefix(filepath.Base(f), "catalogue_")
			ast.Inspect(file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.KeyValueExpr:
					if entries {
						ast.Inspect(n.Value, func(ast.Node) bool { return true })
						return false
					}
				case *ast.BinaryExpr:
					// Key("state." + …) names a family.
					if l, ok := n.X.(*ast.BasicLit); ok && l.Kind == token.STRING {
						s, _ := strconv.Unquote(l.Value)
						prefixes = append(prefixes, s)
					}
				case *ast.BasicLit:
					if n.Kind == token.STRING {
						s, _ := strconv.Unquote(n.Value)
						named[s] = true
					}
				}
				return true
			})
		}
	}
	for k := range session.Texts() {
		family := slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasSuffix(p, ".") && strings.HasPrefix(string(k), p) })
		if !named[string(k)] && !family {
			t.Errorf("%s is in the catalogue, but nothing says it", k)
		}
	}
}

// TestEveryReasonHasAText: one sentence for each reason that phrase gives.
func TestEveryReasonHasAText(t *testing.T) {
	texts := session.Texts()
	for _, c := range phrase.WhyCodes() {
		if _, ok := texts[session.Key("why."+string(c))]; !ok {
			t.Errorf("no text for reason %q", c)
		}
	}
}

func TestSayFillsGaps(t *testing.T) {
	if got := session.Say("en", "no such key"); got != "no such key" {
		t.Errorf("an unknown key shows as %q", got)
	}
	if got := session.Say("es", "jobs.older", 1); got != "1 obra anterior, sin listar" {
		t.Errorf("one: %q", got)
	}
	if got := session.Say("en", "jobs.older", 3); got != "3 older jobs, not listed" {
		t.Errorf("many: %q", got)
	}
}
