package handbook

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/problem"
)

// aPage gives a recipe of the demonstration whose facts are about 2 KB, with splits.
func aPage(b *testing.B) (name string, raw []byte) {
	b.Helper()
	name = "recipes/barley-field-body-lotion.md"
	raw, err := os.ReadFile("../../content/" + name)
	require.NoError(b, err)
	return name, raw
}

func BenchmarkFrontMatter(b *testing.B) {
	_, raw := aPage(b)
	text := facts(string(raw))
	b.Run("plain", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, plain := readPlain(text); !plain {
				b.Fatal("is not plain")
			}
		}
	})
	b.Run("library", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var root yaml.Node
			if err := yaml.Load([]byte(text), &root); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkReadRecipe reads a page from its bytes to its solved versions.
func BenchmarkReadRecipe(b *testing.B) {
	name, raw := aPage(b)
	h, problems := Load(os.DirFS("../../content"))
	require.Zero(b, problems.Len())
	b.ReportAllocs()
	for b.Loop() {
		problems := &problem.List{}
		src, readable := newSource(name, raw, problems)
		r := parsePage(src, readable, false, RecipePage, h.Access, problems, &asked{}, h.recipe)
		if len(r.Versions) != 4 || problems.Len() > 0 {
			b.Fatal(problems)
		}
	}
}
