package main

import (
	"go/ast"
	"testing"
)

// TestGoroutinesHideSecrets: whatever runs beside the rest of serve ends by way of
// engine.Crash where it panics, or else Go prints the panic past the log, token and
// all. What is started is a function written there, and defers that first.
func TestGoroutinesHideSecrets(t *testing.T) {
	seen := 0
	for _, s := range sources(t) {
		switch s.room() {
		case "cmd/rodcall", "bot", "bot/voice", "session/engine", "session/store":
		default:
			continue
		}
		if s.test() {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			var started ast.Expr
			switch n := n.(type) {
			case *ast.GoStmt:
				started = n.Call.Fun
			case *ast.CallExpr:
				if to, ok := n.Fun.(*ast.SelectorExpr); ok && to.Sel.Name == "Go" && len(n.Args) == 1 {
					started = n.Args[0]
				}
			}
			if started == nil {
				return true
			}
			seen++
			if !defersCrash(started) {
				t.Errorf("%s: begin it with defer engine.Crash(log)", s.fset.Position(started.Pos()))
			}
			return true
		})
	}
	if seen < 8 {
		t.Errorf("%d goroutines were found", seen)
	}
}

// defersCrash says whether a function is written there, and begins with it.
func defersCrash(started ast.Expr) bool {
	f, ok := started.(*ast.FuncLit)
	if !ok || len(f.Body.List) == 0 {
		return false
	}
	d, ok := f.Body.List[0].(*ast.DeferStmt)
	if !ok {
		return false
	}
	name := ""
	switch to := d.Call.Fun.(type) {
	case *ast.SelectorExpr:
		name = to.Sel.Name
	case *ast.Ident:
		name = to.Name
	}
	return name == "Crash"
}
