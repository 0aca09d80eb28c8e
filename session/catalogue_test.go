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

	"rodcall/reduce"
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

// wholeGapRE is a gap as it is filled: one in another is none.
var wholeGapRE = regexp.MustCompile(`\{\d+(:[^{}|]*\|[^{}|]*)?\}`)

// TestGapsAreFilled: nothing of a gap is left in any text once it is said.
func TestGapsAreFilled(t *testing.T) {
	for k, two := range session.Texts() {
		for i, lang := range []string{"en", "es"} {
			if rest := wholeGapRE.ReplaceAllString(two[i], ""); strings.ContainsAny(rest, "{}") {
				t.Errorf("%s: %q has a gap that is not filled", k, two[i])
			}
			for _, n := range []any{1, 2} {
				if said := session.Say(lang, k, n, n, n, n, n, n, n, n, n); strings.ContainsAny(said, "{}") {
					t.Errorf("%s is said as %q", k, said)
				}
			}
		}
	}
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
		base, ofUnit := baseOf(k)
		if !named[string(k)] && !family && !(ofUnit && named[string(base)]) {
			t.Errorf("%s is in the catalogue, but nothing says it", k)
		}
	}
}

// baseOf is the key that one for a unit stands in for.
func baseOf(k session.Key) (session.Key, bool) {
	for _, unit := range []string{".mm", ".ft"} {
		if base, ok := strings.CutSuffix(string(k), unit); ok && base != "figure" && base != "unit" && base != "paper.unit" {
			return session.Key(base), true
		}
	}
	return k, false
}

// exampleRE finds the examples in a sentence that hold an amount.
var exampleRE = regexp.MustCompile(`(tolerance|tolerancia|datum|fino|finest|c3) -?[0-9][0-9.]*[0-9]*( mm| ft)?`)

// TestTextsOfAUnit: a text for a unit stands in for one with the same gaps, and
// its examples work in a job of that unit.
func TestTextsOfAUnit(t *testing.T) {
	texts := session.Texts()
	seen := 0
	for k, two := range texts {
		base, ok := baseOf(k)
		if !ok {
			continue
		}
		unit := reduce.UnitMillimetre
		if strings.HasSuffix(string(k), ".ft") {
			unit = reduce.UnitFoot
		}
		o, err := reduce.Outline{Grid: reduce.GridFor(unit)}.WithLoop("", reduce.Point{}, reduce.Rectangle(12*reduce.Metre, 8*reduce.Metre))
		if err != nil {
			t.Fatal(err)
		}
		c := phrase.Context{Rod: reduce.Direct, Unit: unit, Finest: unit.Finest(), Outline: &o, Asked: reduce.Corner(2)}
		for i, s := range two {
			if a, b := gaps(texts[base][i]), gaps(s); !slices.Equal(a, b) {
				t.Errorf("%s: gaps %v, those of %s are %v", k, b, base, a)
			}
			for _, e := range exampleRE.FindAllString(s, -1) {
				seen++
				if m := phrase.Parse(c, strings.TrimSuffix(e, ".")); m.Kind != phrase.Reading && m.Kind != phrase.Command {
					t.Errorf("%s: %q is a %s", k, e, phrase.KindName(m))
				}
			}
		}
	}
	if seen < 20 {
		t.Errorf("%d examples: the texts are not what this test reads", seen)
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
