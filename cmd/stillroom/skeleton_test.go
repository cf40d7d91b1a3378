package main

import (
	"runtime/debug"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
)

// A new recipe of any product loads from the common catalogue alone, without a problem, an unknown material or a stop.
func TestSkeletonsAreSound(t *testing.T) {
	for _, product := range law.ProductNames() {
		text, err := skeleton(shapeOf(product), map[string]string{"Title": "New", "Product": product, "Shelf": "All"})
		require.NoError(t, err, product)
		h, found := handbook.Load(fstest.MapFS{
			"handbook.yaml": {Data: []byte("title: Test\nshelves: [All]\n")}, "recipes/new.md": {Data: text},
		})
		problems := &problem.List{}
		problems.Join(found)
		book := site.Prepare(h, problems)
		require.Empty(t, problems.All(), product)
		require.Len(t, book.Recipes, 1)
		for _, w := range book.Worked(book.Recipes[0]) {
			for _, f := range w.Findings {
				assert.False(t, f.Stops(), "%s: %s", product, f.Message)
				assert.NotEqual(t, "unknown-material", f.Code, "%s: %s", product, f.Message)
			}
		}
	}
}

// A recipe begins as one of its product's kind, or says that it does not.
func TestShapeOf(t *testing.T) {
	for product, want := range map[string]string{
		"shampoo": "wash", "hand wash": "wash", "bubble bath": "wash", "bath fizz": "fizz", "bar soap": "soap", "body oil": "oil", "shampoo bar": "balm", "candle": "balm",
	} {
		assert.Equal(t, want, shapeOf(product), product)
		assert.Equal(t, want != "balm", fits(product), product)
	}
}

func TestProductOf(t *testing.T) {
	for title, want := range map[string]string{
		"Lotion": "body lotion", "Day CREAM": "hand cream", "Face cream, plain": "face cream", "A lotion bar": "lotion bar", "Öl & soap": "bar soap",
		"Scrubbing brush": "balm", "Lip balm": "lip balm", "Salts of the sea": "bath salts", "Cream soap": "bar soap", "": "balm", "42": "balm",
	} {
		product, _ := productOf(title)
		assert.Equal(t, want, product, title)
	}
}

func TestVersionIn(t *testing.T) {
	of := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{Main: debug.Module{Version: version}, Settings: settings}
	}
	revision, changed := debug.BuildSetting{Key: "vcs.revision", Value: "0123456789abcdef"}, debug.BuildSetting{Key: "vcs.modified", Value: "true"}
	for want, build := range map[string]*debug.BuildInfo{
		"v1.2.3":                      of("v1.2.3", revision),
		"0123456789ab":                of("(devel)", revision),
		"0123456789ab, changed since": of("", revision, changed),
		"(built from a source without a version)": of("(devel)"),
	} {
		assert.Equal(t, want, versionIn(build, true))
	}
	assert.Equal(t, "of an unknown build", versionIn(nil, false))
}
