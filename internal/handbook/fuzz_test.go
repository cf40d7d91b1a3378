package handbook_test

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// soapPage is a recipe whose lye is worked out.
const soapPage = `---
title: Bar
product: shaving soap
shelf: Soaps
formula:
  - phase: Fats
    weigh: {Sunflower oil: 70 %, Coconut oil: 20 %, Citric acid: 2 %, Shea butter: q.s.}
  - phase: Trace
    weigh: {Kaolin: 1 per 50, Castor oil: 3 % of Fats}
soap:
  alkali: {sodium hydroxide: 60 %, potassium hydroxide: 40 %}
  purity: {potassium hydroxide: 90 %}
  superfat: 4.5 %
  solution: 30 %
batches: [1 kg]
variants: [{name: Soft, change: {Coconut oil: becomes Palm oil}}]
splits: [{name: Half, share: 1/2}, {name: Rich, share: 1/2, add: {Olive oil: 1 per 20}}]
---
`

// FuzzFrontMatter reads any bytes as a recipe beside a sound ingredient: problems stand inside the page, and a page
// without problems has versions that make 100 % and can be worked out.
func FuzzFrontMatter(f *testing.F) {
	for _, file := range badFiles(f) {
		f.Add(file.Data)
	}
	f.Add([]byte(goodPage(f, "recipes/hands/hedgerow-hand-cream.md")))
	f.Add([]byte(soapPage))
	f.Add([]byte(formerly))
	f.Add([]byte(onceOther))
	f.Fuzz(func(t *testing.T, page []byte) {
		h, problems := loadBounded(t, "recipes/page.md", page)
		require.Len(t, h.Recipes, 1, "a page is given whatever is in it")
		r := h.Recipes[0]
		worked := h.Work(r)
		require.Len(t, worked, len(r.Versions))
		if problems.Len() > 0 {
			return
		}
		require.NotEmpty(t, r.Versions)
		for _, v := range r.Versions {
			sum := quantity.Number{}
			for i := range v.Items {
				sum = sum.Add(v.Percent(i))
			}
			assert.Zero(t, sum.Cmp(quantity.Int(100)), "%s makes %s %%", v.Name, sum)
		}
		changesHold(t, r)
		for _, w := range worked {
			if r.Lye != nil && w.Version.Kind != formula.SplitKind { // a split may add fats to what the lye was for
				made, is := w.Soap()
				require.True(t, is, "a lye makes a soap")
				require.NoError(t, made.Err)
				assert.Zero(t, made.Superfat.Cmp(r.Lye.Superfat), "%s has a superfat of %s %%, not of %s %%", w.Version.Name, made.Superfat, r.Lye.Superfat)
			}
			for _, b := range w.Batches {
				assert.True(t, b.Missing != nil || len(b.Column.Weights) == len(w.Version.Items), "batch %s", b.Written)
			}
		}
	})
}

// onceOther is a recipe with changes that hold together.
const onceOther = `---
title: Once other
product: hand cream
shelf: Creams
updated: 2026-06-11
video: {address: "https://film.larkrow.example/w?v=1", title: Stirring}
formula:
  - phase: Oil
    weigh: {Sunflower oil: q.s., Shea butter: 5 %}
  - phase: Cool-down
    weigh: {Sunflower oil: 2 %, Cedarwood fragrance: 0.6 %}
changes:
  - {on: 2026-05-03, before: {Cedarwood fragrance: 0.4 %, Sunflower oil in Oil: 90 %}, note: it was faint}
  - {on: 2026-06-11, before: {Shea butter: out, Cocoa butter: 1 per 4 of Oil}}
  - {on: 2026-01-02, before: {Cedarwood fragrance: out, Cocoa butter: 2 oz}}
---
`

// changesHold asserts that changes come newest first, that each says what it altered, and that each day's lines are of different ingredients.
func changesHold(t *testing.T, r *handbook.Recipe) {
	t.Helper()
	for i, c := range r.Changes {
		require.NotEmpty(t, c.Lines)
		if i > 0 {
			assert.False(t, c.On.After(r.Changes[i-1].On), "%s comes after %s", c.On, r.Changes[i-1].On)
		}
		if r.Updated != nil {
			assert.False(t, c.On.After(*r.Updated))
		}
		for _, l := range c.Lines {
			assert.NotEmpty(t, l.Name)
			assert.NotEqual(t, l.Before, l.After, "%s", l.Name)
		}
	}
}

// FuzzSettings reads any bytes as handbook.yaml: without problems the handbook has a title and its shelves have addresses of their own.
func FuzzSettings(f *testing.F) {
	f.Add([]byte(baseSettings))
	f.Add([]byte(goodPage(f, "handbook.yaml")))
	f.Add([]byte(baseSettings + "door: {kind: sealed, address: https://larkrow.example}\n"))
	f.Fuzz(func(t *testing.T, settings []byte) {
		h, problems := loadBounded(t, "handbook.yaml", settings)
		for _, p := range problems.All() {
			if p.Span.File() == "handbook.yaml" {
				return
			}
		}
		assert.NotEmpty(t, h.Title)
		assert.Contains(t, []handbook.Access{handbook.Open, handbook.Members, handbook.Maker}, h.Access)
		assert.Contains(t, []string{"", handbook.SealedDoor, handbook.FolderDoor}, h.Door.Kind)
		assert.True(t, h.Door.Address == "" || h.Door.Kind == handbook.FolderDoor, "%+v", h.Door)
		slugs := make(map[string]bool)
		for _, s := range h.Shelves {
			assert.False(t, slugs[handbook.Slug(s.Name)], "shelf %s", s.Name)
			slugs[handbook.Slug(s.Name)] = true
		}
	})
}

// FuzzIngredient reads any bytes as an ingredient's page: without problems the ingredient is found by each of its names.
func FuzzIngredient(f *testing.F) {
	for _, file := range badFiles(f) {
		f.Add(file.Data)
	}
	f.Add([]byte(goodPage(f, "ingredients/cedarwood-fragrance.md")))
	f.Fuzz(func(t *testing.T, page []byte) {
		h, problems := loadBounded(t, "ingredients/page.md", page)
		if problems.Len() > 0 {
			return
		}
		for _, i := range h.Ingredients {
			assert.True(t, i.Video == nil || strings.HasPrefix(strings.ToLower(i.Video.Address), "https://") && i.Video.Host() != "", "%+v", i.Video)
			for _, name := range append([]string{i.Material.Name}, i.Material.Also...) {
				assert.Same(t, i.Material, h.Materials.Find(name), "%q", name)
			}
			for _, c := range i.Material.Composition {
				assert.LessOrEqual(t, c.Percent.Cmp(quantity.Int(100)), 0, "%s", c.INCI)
			}
		}
	})
}

// patience is no measure of speed: only work that grows with the square of a page's length is past it.
const patience = 30 * time.Second

// loadBounded loads the base handbook with one file in it, and sees that it ends in time and that all problems are placed
// and have something to do about them.
func loadBounded(t *testing.T, file string, content []byte) (*handbook.Handbook, *problem.List) {
	t.Helper()
	files := base()
	files[file] = &fstest.MapFile{Data: content}
	start := time.Now()
	h, problems := handbook.Load(files)
	if took := time.Since(start); took > patience {
		t.Fatalf("loading took %s", took)
	}
	placed(t, problems)
	return h, problems
}

// placed asserts that every problem stands inside its file, on a character's border, and says what to do.
func placed(t testing.TB, problems *problem.List) {
	t.Helper()
	for _, p := range problems.All() {
		require.NotNil(t, p.Span.Source, "%s", p.Message)
		text := p.Span.Source.Text
		assert.NotEmpty(t, p.Hint, "%v", p)
		assert.NotEmpty(t, p.Message)
		assert.True(t, 0 <= p.Span.Start && p.Span.Start <= p.Span.End && p.Span.End <= len(text), "%v: %d–%d of %d", p, p.Span.Start, p.Span.End, len(text))
		assert.True(t, strings.ToValidUTF8(p.Span.Text(), "") == p.Span.Text(), "%v cuts a character", p)
		for _, n := range p.Notes {
			assert.LessOrEqual(t, n.Span.End, len(n.Span.Source.Text), "%v, note", p)
		}
		assert.NotEmpty(t, p.Text())
	}
}
