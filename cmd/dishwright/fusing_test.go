package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// fusing are the rooms whose sums decide what is written: those that a program is planned,
// read and written in, and whatever they rest on.
func fusing(t *testing.T) (rooms []string) {
	list := exec.Command("go", "list", "-deps", "./cam/choose", "./cam/beside", "./cam/dial", "./cam/job", "./dish/rim", "./dish/scrap", "./post")
	list.Dir = filepath.Join("..", "..")
	out, err := list.Output()
	require.NoError(t, err)
	for line := range strings.Lines(string(out)) {
		if room, ok := strings.CutPrefix(strings.TrimSpace(line), module+"/"); ok {
			rooms = append(rooms, room)
		}
	}
	require.Contains(t, rooms, "cam/proof", "the field decides what is planned")
	return rooms
}

// TestNothingFuses: on some machines the compiler fuses a product with the sum that it
// goes into, across statements and calls, which rounds once instead of twice (Go
// specification, Floating-point operators); a program could then hold another last digit
// there. An explicit conversion prevents it. So each product of floats that is not
// within another stands in a float64(...), but for doubling and halving, which are exact.
func TestNothingFuses(t *testing.T) {
	fset := token.NewFileSet()
	from := importer.ForCompiler(fset, "gc", exported(t))
	for _, room := range fusing(t) {
		dir := filepath.Join("..", "..", filepath.FromSlash(room))
		names, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		var files []*ast.File
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(fset, name, nil, 0)
			require.NoError(t, err)
			files = append(files, f)
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		_, err = (&types.Config{Importer: from}).Check(module+"/"+room, fset, files, info)
		require.NoError(t, err)
		for _, f := range files {
			for _, at := range bareProducts(f, info) {
				t.Errorf("%s: a product that may be fused with a sum", fset.Position(at))
			}
		}
	}
}

// exported returns what opens the compiler's notes on a package: those that are in its
// cache, where the tests were built.
func exported(t *testing.T) importer.Lookup {
	list := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}={{.Export}}", "./...")
	list.Dir = filepath.Join("..", "..")
	out, err := list.Output()
	require.NoError(t, err)
	files := map[string]string{}
	for line := range strings.Lines(string(out)) {
		name, file, _ := strings.Cut(strings.TrimSpace(line), "=")
		files[name] = file
	}
	return func(name string) (io.ReadCloser, error) { return os.Open(files[name]) }
}

// bareProducts returns where a file has products that may be fused: those that stand in
// nothing which rounds them. A product within another, in a quotient, a comparison or a
// function of math is not one of a sum.
func bareProducts(f *ast.File, info *types.Info) (found []token.Pos) {
	var above []ast.Node
	ast.Inspect(f, func(n ast.Node) bool {
		if n == nil {
			above = above[:len(above)-1]
			return true
		}
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if product(n, info) && !rounded(n, above, info) {
				found = append(found, n.Pos())
			}
		case *ast.AssignStmt:
			if n.Tok == token.MUL_ASSIGN && isFloat(info.Types[n.Lhs[0]].Type) && !double(info, n.Rhs[0]) {
				found = append(found, n.Pos())
			}
		case *ast.SelectorExpr:
			if id, ok := n.X.(*ast.Ident); ok && (id.Name == "r2" || id.Name == "r3") && multiplies[n.Sel.Name] {
				found = append(found, n.Pos())
			}
		}
		above = append(above, n)
		return true
	})
	return found
}

// multiplies are the functions of the library of vectors that are taken apart where they
// are called, and then are bare products.
var multiplies = map[string]bool{"Scale": true, "Dot": true, "Cross": true, "Norm2": true, "Unit": true, "Rotate": true, "Cos": true}

// product reports whether an expression multiplies floats, otherwise than exactly.
func product(b *ast.BinaryExpr, info *types.Info) bool {
	return b.Op == token.MUL && isFloat(info.Types[b].Type) && info.Types[b].Value == nil && !double(info, b.X) && !double(info, b.Y)
}

func isFloat(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsFloat != 0
}

// rounded reports whether what stands about a product keeps it out of a sum.
func rounded(n ast.Expr, above []ast.Node, info *types.Info) bool {
	for i := len(above) - 1; i >= 0; i-- {
		switch up := above[i].(type) {
		case *ast.ParenExpr:
		case *ast.UnaryExpr:
		case *ast.BinaryExpr:
			if up.Op == token.MUL && (double(info, up.X) || double(info, up.Y)) {
				continue // exact: what stands about that decides
			}
			return up.Op != token.ADD && up.Op != token.SUB
		case *ast.CallExpr:
			if info.Types[up.Fun].IsType() {
				return true
			}
			// The greater of two products is a result of its own; what is added to it meets
			// no product.
			if name, ok := up.Fun.(*ast.Ident); ok && (name.Name == "max" || name.Name == "min") {
				return len(up.Args) > 1
			}
			s, ok := up.Fun.(*ast.SelectorExpr)
			if !ok {
				return false
			}
			id, ok := s.X.(*ast.Ident)
			return ok && (id.Name == "math" || id.Name == "fmt")
		default:
			return false
		}
	}
	return false
}

// double reports whether an expression is a constant power of two: a product with it is
// exact, fused or not.
func double(info *types.Info, e ast.Expr) bool {
	v := info.Types[e].Value
	if v == nil {
		return false
	}
	f, _ := constant.Float64Val(constant.ToFloat(v))
	share, _ := math.Frexp(f)
	return math.Abs(share) == 0.5
}

// The check itself: what it finds and what it lets be.
func TestBareProducts(t *testing.T) {
	fset := token.NewFileSet()
	const text = `package p
func a(x, y, z float64) float64 {
	n := 2*3 + int(x)
	w := x*y + z
	w += float64(x*y) - z
	w -= z * x
	w += 2 * z
	_ = n
	v := -(x * y)
	if x*y > z*v/w {
		x *= y
	}
	v = float64(2 * (x * y)) + 2*(y*z)
	return (x * y)
}
`
	f, err := parser.ParseFile(fset, "p.go", text, 0)
	require.NoError(t, err)
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	_, err = (&types.Config{}).Check("p", fset, []*ast.File{f}, info)
	require.NoError(t, err)
	var lines []string
	for _, at := range bareProducts(f, info) {
		lines = append(lines, fmt.Sprint(fset.Position(at).Line))
	}
	require.Equal(t, []string{"4", "6", "9", "11", "13", "14"}, lines)
}
