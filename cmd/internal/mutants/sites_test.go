package mutants

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"path/filepath"
	"strings"
)

// insertion is a piece of text that goes into a file.
type insertion struct {
	offset, drop int // drop is how many bytes it takes the place of
	text         string
	span         int  // how long the node is that it goes about
	behind       bool // it stands at the node's end
	order        int  // in which its place was found: outer ones before inner ones
}

// site is one place where something can be changed: what is put in at it switches the
// change on and off, ID standing for its number.
type site struct {
	kind, file string
	line       int
	what       string // as it stands in the source
	text       string // the line that it begins in
	head       int    // where imports may begin
	put        []insertion
}

// place is the file and the line, seen from the module's folder.
func (s site) place() string {
	return fmt.Sprintf("%s:%d", strings.TrimPrefix(filepath.ToSlash(s.file), root+"/"), s.line)
}

// room is the folder that the place is in, seen from the module's.
func (s site) room() string {
	return strings.TrimPrefix(filepath.ToSlash(filepath.Dir(s.file)), root+"/")
}

// finder collects the sites of one file.
type finder struct {
	fset  *token.FileSet
	info  *types.Info
	text  string
	name  string
	head  int
	above []ast.Node
	sites []site
	named map[types.Object]int // index among the sites
}

func (f *finder) offset(p token.Pos) int { return f.fset.Position(p).Offset }

// lineAt returns the line that an offset is in.
func (f *finder) lineAt(offset int) string {
	from := strings.LastIndexByte(f.text[:offset], '\n') + 1
	line, _, _ := strings.Cut(f.text[from:], "\n")
	return strings.Join(strings.Fields(line), " ")
}

// add notes a site about the node e.
func (f *finder) add(kind string, e ast.Node, put ...insertion) {
	from, to := f.offset(e.Pos()), f.offset(e.End())
	for i := range put {
		put[i].order = len(f.sites)
	}
	f.sites = append(f.sites, site{kind, f.name, f.fset.Position(e.Pos()).Line, f.text[from:to], f.lineAt(from), f.head, put})
}

// about is what goes in before and behind a node.
func (f *finder) about(e ast.Node, before, behind string) []insertion {
	from, to := f.offset(e.Pos()), f.offset(e.End())
	return []insertion{{offset: from, text: before, span: to - from}, {offset: to, text: behind, span: to - from, behind: true}}
}

// number returns float64 or int where the expression is one of them.
func (f *finder) number(e ast.Expr) string {
	t, ok := f.info.Types[e]
	if !ok || t.Type == nil {
		return ""
	}
	switch t.Type {
	case types.Typ[types.Float64], types.Typ[types.UntypedFloat]:
		return "float64"
	case types.Typ[types.Int], types.Typ[types.UntypedInt]:
		return "int"
	}
	return ""
}

// stands returns the type that a constant stands for: that of the whole constant that
// it is a part of; "" where even that has none.
func (f *finder) stands(n ast.Expr) string {
	whole := n
	for i := len(f.above) - 1; i >= 0; i-- {
		e, ok := f.above[i].(ast.Expr)
		if !ok || f.info.Types[e].Value == nil {
			break
		}
		whole = e
	}
	if b, ok := f.info.Types[whole].Type.(*types.Basic); !ok || b.Info()&types.IsUntyped != 0 {
		return ""
	}
	return f.number(whole)
}

// constantAbove reports whether the node stands where the language wants a constant, or
// in a text that only people read.
func (f *finder) constantAbove(node ast.Node) bool {
	if len(f.above) > 0 {
		if kv, ok := f.above[len(f.above)-1].(*ast.KeyValueExpr); ok && kv.Key == node {
			return true // an index, where the list is one of places
		}
	}
	for _, n := range f.above {
		switch n := n.(type) {
		case *ast.ArrayType, *ast.CaseClause, *ast.ImportSpec:
			if c, ok := n.(*ast.CaseClause); ok && len(c.List) > 0 && f.above[len(f.above)-1].Pos() >= c.Colon {
				continue
			}
			return true
		case *ast.GenDecl:
			if n.Tok == token.CONST {
				return true
			}
		case *ast.CallExpr:
			s, ok := n.Fun.(*ast.SelectorExpr)
			if id, is := n.Fun.(*ast.Ident); is && (id.Name == "mm" || id.Name == "panic") {
				return true
			}
			if !ok {
				continue
			}
			if id, is := s.X.(*ast.Ident); is && (id.Name == "fmt" || id.Name == "errors" || id.Name == "strconv") {
				return true
			}
			if s.Sel.Name == "add" || s.Sel.Name == "find" { // problems and findings, with their texts
				continue
			}
		case *ast.BinaryExpr:
			if n.Op == token.SHL || n.Op == token.SHR {
				return true
			}
		case *ast.CompositeLit:
			if t := f.info.Types[n].Type; t != nil && (t.String() == "dishwright/cam/work.Problems" || t.String() == "dishwright/cam/work.Problem") {
				return true
			}
		}
	}
	return false
}

// visit notes what can be changed at a node.
func (f *finder) visit(n ast.Node) bool {
	if n == nil {
		f.above = f.above[:len(f.above)-1]
		return true
	}
	defer func() { f.above = append(f.above, n) }()
	if f.constantAbove(n) {
		return true
	}
	switch n := n.(type) {
	case *ast.BinaryExpr:
		f.binary(n)
	case *ast.CallExpr:
		f.bound(n)
	case *ast.BasicLit:
		if t := f.stands(n); t != "" && (n.Kind == token.FLOAT || n.Kind == token.INT) && f.info.Types[n].Value != nil {
			f.add("constant", n, f.about(n, "mutant.Off(ID, "+t+"(", "))")...)
		}
	case *ast.Ident:
		f.constant(n)
	}
	return true
}

// bound notes a greater or lesser of two numbers.
func (f *finder) bound(n *ast.CallExpr) {
	id, ok := n.Fun.(*ast.Ident)
	if !ok || len(n.Args) != 2 || f.number(n) == "" || f.info.Types[n].Value != nil {
		return
	}
	if _, ok := f.info.Uses[id].(*types.Builtin); !ok {
		return
	}
	other, known := map[string]string{"max": "mutant.Greater(ID, ", "min": "mutant.Lesser(ID, "}[id.Name]
	if !known {
		return // copy has two as well
	}
	from, open := f.offset(n.Pos()), f.offset(n.Lparen)
	f.add("bound", n, insertion{offset: from, drop: open + 1 - from, text: other, span: f.offset(n.End()) - from})
}

// binary notes signs, conditions and operands.
func (f *finder) binary(n *ast.BinaryExpr) {
	if f.info.Types[n].Value != nil {
		return // folded; its parts are constants
	}
	switch n.Op {
	case token.ADD, token.SUB:
		if f.number(n) != "" {
			f.add("sign", n, f.about(n.Y, "mutant.Sign(ID, "+f.number(n)+"(", "))")...)
		}
	case token.LSS, token.GTR, token.LEQ, token.GEQ, token.EQL, token.NEQ:
		f.add("condition", n, f.about(n, "((", ") != mutant.On(ID))")...)
	case token.LAND:
		f.add("condition dropped", n, f.about(n.Y, "(mutant.On(ID) || ", ")")...)
	case token.LOR:
		f.add("condition dropped", n, f.about(n.Y, "(!mutant.On(ID) && (", "))")...)
	}
}

// constant notes a use of a constant that has a name: all of them together are one site.
func (f *finder) constant(n *ast.Ident) {
	c, ok := f.info.Uses[n].(*types.Const)
	if !ok || c.Pkg() == nil || c.Parent() != c.Pkg().Scope() || constant.ToFloat(c.Val()).Kind() == constant.Unknown {
		return
	}
	if _, inSelector := f.above[len(f.above)-1].(*ast.SelectorExpr); inSelector {
		return
	}
	t := f.stands(n)
	if t == "" || c.Type().String() != "untyped float" && c.Type().String() != "untyped int" && c.Type().String() != "float64" && c.Type().String() != "int" {
		return
	}
	put := f.about(n, "mutant.Off(ID, "+t+"(", "))")
	for i := range put {
		put[i].order = len(f.sites)
	}
	if i, ok := f.named[c]; ok { // of this file; elsewhere it keeps its value
		f.sites[i].put = append(f.sites[i].put, put...)
		return
	}
	f.named[c] = len(f.sites)
	f.sites = append(f.sites, site{"constant", f.name, f.fset.Position(n.Pos()).Line, fmt.Sprintf("%s = %s", c.Name(), c.Val()), f.lineAt(f.offset(n.Pos())), f.head, put})
}
