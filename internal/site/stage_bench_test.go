package site

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
	"larkrow.example/stillroom/internal/synthetic"
)

// BenchmarkStage does what a build from nothing does one stage after the other, over a handbook of 1,000 recipes: reading it (front matter,
// amounts, formulas solved), bodies parsed, batches weighed, versions checked, files made (pages, formula.json and all others), and files written to memory
// where the system has a folder there. Figures are for each recipe; what else the handbook has is divided among them. The stages run on all cores as a build
// does, but for weighing and checking, which are one recipe after the other.
func BenchmarkStage(b *testing.B) {
	const recipes = 1000
	dir := b.TempDir()
	require.NoError(b, synthetic.Write(dir, synthetic.Size{Recipes: recipes, Seed: 1}))
	root := os.DirFS(dir)
	read := func() *handbook.Handbook {
		h, problems := handbook.Load(root)
		require.Zero(b, problems.Len())
		return h
	}
	b.Run("load", func(b *testing.B) { each(b, recipes, func() func() { return func() { read() } }) })
	h := read()
	b.Run("prepare", func(b *testing.B) { each(b, recipes, func() func() { return func() { Prepare(h, &problem.List{}) } }) })
	b.Run("weigh", func(b *testing.B) { each(b, recipes, func() func() { return func() { subjectsOf(h) } }) })
	subjects := subjectsOf(h)
	b.Run("check", func(b *testing.B) {
		each(b, recipes, func() func() {
			return func() {
				for _, versions := range subjects {
					check.RunAll(versions)
				}
			}
		})
	})
	var outputs []output
	fresh := func() {
		book := Prepare(h, &problem.List{})
		book.WorkAll(OpenEdition)
		outputs = NewBuild(book, OpenEdition, defaultTheme(b)).outputs(func(file string) ([]byte, error) { return fs.ReadFile(root, file) })
	}
	fresh()
	made, errs := make([][]byte, len(outputs)), make([]error, len(outputs))
	on := func(do func(i int)) {
		parallel.Do(len(outputs), do)
		for i, err := range errs {
			require.NoError(b, err, outputs[i].path)
		}
	}
	render := func() { on(func(i int) { made[i], errs[i] = outputs[i].bytes() }) }
	render()
	b.Run("render", func(b *testing.B) {
		each(b, recipes, func() func() { fresh(); return render })
	})
	room, n := outFolder(b), 0
	var paths []string
	for _, o := range outputs {
		paths = append(paths, o.path)
	}
	b.Run("write", func(b *testing.B) {
		each(b, recipes, func() func() {
			require.NoError(b, os.RemoveAll(filepath.Join(room, fmt.Sprint(n))))
			n++
			return func() {
				tree, err := OpenTree(filepath.Join(room, fmt.Sprint(n)), OpenEdition)
				require.NoError(b, err)
				require.NoError(b, tree.Claim(paths))
				on(func(i int) { errs[i] = tree.Write(paths[i], made[i]) })
				_, err = tree.Finish()
				require.NoError(b, err)
				require.NoError(b, tree.Close())
			}
		})
	})
}

// each measures some work, what it allocates too, and reports it for each of n recipes; before is done ahead of it each time, and is not measured.
func each(b *testing.B, n int, before func() (work func())) {
	var bytes, allocs uint64
	for b.Loop() {
		b.StopTimer()
		work := before()
		var m, after runtime.MemStats
		runtime.ReadMemStats(&m)
		b.StartTimer()
		work()
		b.StopTimer()
		runtime.ReadMemStats(&after)
		bytes, allocs = bytes+after.TotalAlloc-m.TotalAlloc, allocs+after.Mallocs-m.Mallocs
		b.StartTimer()
	}
	recipes := float64(b.N * n)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/recipes, "ns/recipe")
	b.ReportMetric(float64(bytes)/recipes, "B/recipe")
	b.ReportMetric(float64(allocs)/recipes, "allocs/recipe")
}

// subjectsOf weighs every recipe's batches in every version.
func subjectsOf(h *handbook.Handbook) [][]*check.Subject {
	all := make([][]*check.Subject, len(h.Recipes))
	for i, r := range h.Recipes {
		batches := make([]quantity.Batch, len(r.Batches))
		for j, batch := range r.Batches {
			batches[j] = batch.Batch
		}
		for _, v := range r.Versions {
			all[i] = append(all[i], h.Weigh(r, v, batches))
		}
	}
	return all
}
