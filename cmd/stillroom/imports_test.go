package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// module is the path that our own packages begin with.
const module = "larkrow.example/stillroom/"

// readingOrder has our packages in the order in which they can be read: each may import those before it and none after.
var readingOrder = strings.Fields(`
	internal/golden internal/valid internal/pdf internal/browser internal/browser/browsertest internal/parallel internal/floor internal/picture internal/spell internal/words internal/problem internal/quantity internal/seal internal/members internal/markdown
	internal/formula internal/material internal/cost internal/soap internal/emulsion internal/law internal/check internal/label
	internal/handbook internal/record themes/linen internal/site internal/synthetic internal/synthetic/maker internal/binder internal/preview cmd/stillroom`)

// imports gives what each of our packages imports, directly and through others, tests left out.
func imports(t *testing.T) map[string][]string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{.ImportPath}} {{join .Deps \" \"}}", module+"...").CombinedOutput()
	require.NoError(t, err, "%s", out)
	all := make(map[string][]string)
	for row := range strings.Lines(string(out)) {
		if name, ours := strings.CutPrefix(strings.Fields(row)[0], module); ours {
			all[name] = strings.Fields(row)[1:]
		}
	}
	return all
}

// ours gives the packages of this module among some.
func ours(all []string) []string {
	var found []string
	for _, p := range all {
		if name, ok := strings.CutPrefix(p, module); ok {
			found = append(found, name)
		}
	}
	return found
}

func TestImportsPointOneWay(t *testing.T) {
	t.Parallel()
	all := imports(t)
	require.Contains(t, all, "internal/quantity")
	require.Contains(t, all, "cmd/stillroom")
	for name, deps := range all {
		at := slices.Index(readingOrder, name)
		if !assert.GreaterOrEqual(t, at, 0, "%s has no place in the reading order: give it one", name) {
			continue
		}
		for _, dep := range ours(deps) {
			assert.Less(t, slices.Index(readingOrder, dep), at, "%s imports %s, which is read after it", name, dep)
		}
	}
}

func TestImportsOfEachPackage(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		only  []string // of ours; nil for any that the reading order allows
		never []string
	}{
		{"internal/spell", []string{}, nil},
		{"internal/problem", []string{}, nil},
		{"internal/picture", []string{}, nil},
		{"internal/words", []string{"internal/spell"}, nil},
		{"internal/quantity", []string{"internal/spell"}, nil},
		{"internal/formula", []string{"internal/quantity", "internal/problem", "internal/spell"}, nil},
		{"internal/material", nil, []string{"internal/formula", "internal/check", "internal/handbook", "internal/site"}},
		{"internal/law", []string{"internal/quantity", "internal/spell"}, nil},
		{"internal/markdown", nil, []string{"internal/handbook", "internal/formula", "internal/site"}},
		{"internal/check", nil, []string{"internal/handbook", "internal/site", "internal/markdown"}},
		{"internal/handbook", nil, []string{"internal/site", "internal/markdown", "html/template"}},
		{"internal/binder", nil, []string{"github.com/chromedp/chromedp", "internal/browser"}},
		{"cmd/stillroom", nil, []string{"testing", "github.com/stretchr/testify/require", "internal/browser/browsertest"}},
		{"internal/site", nil, []string{"cmd/stillroom", "internal/preview", "github.com/fsnotify/fsnotify"}},
	}
	all := imports(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			deps, ok := all[test.name]
			require.True(t, ok, "there is no such package")
			if test.only != nil {
				assert.Subset(t, test.only, ours(deps), "imports more of ours than it may")
			}
			for _, name := range test.never {
				assert.NotContains(t, deps, name)
				assert.NotContains(t, ours(deps), name)
			}
		})
	}
}

// Amounts are exact: nothing in the packages that work with them is a binary floating-point number.
func TestNoBinaryFloatingPoint(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"quantity", "formula", "check", "soap", "emulsion", "label", "record", "cost"} {
		files, err := filepath.Glob("../../internal/" + name + "/*.go")
		require.NoError(t, err)
		files = slices.DeleteFunc(files, func(file string) bool { return strings.HasSuffix(file, "_test.go") })
		for _, file := range files {
			assert.Empty(t, floats(t, file))
		}
		if name == "quantity" || name == "formula" {
			assert.NotEmpty(t, files, "no files of %s were looked at", name)
		}
	}
}

// floats gives the places where a file names a binary floating-point type or writes a number of one.
func floats(t *testing.T, file string) []string {
	t.Helper()
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, nil, 0)
	require.NoError(t, err)
	var found []string
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Ident:
			if slices.Contains([]string{"float32", "float64", "Float64", "Float32", "ParseFloat"}, n.Name) {
				found = append(found, set.Position(n.Pos()).String()+": "+n.Name)
			}
		case *ast.BasicLit:
			if n.Kind == token.FLOAT && !strings.Contains(n.Value, "e") { // 1e9 is a whole number where it is one
				found = append(found, set.Position(n.Pos()).String()+": "+n.Value)
			}
		}
		return true
	})
	return found
}
