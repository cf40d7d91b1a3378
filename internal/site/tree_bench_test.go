package site

import (
	"fmt"
	"os"
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/parallel"
)

// outFiles gives 10,000 files of 30 KB, three in each folder, of a kind of the given letter.
func outFiles(letter byte) (names []string, data func(i int) []byte) {
	text := make([]byte, 30<<10)
	for i := range text {
		text[i] = letter + byte(i%7)
	}
	for i := range 10_000 {
		names = append(names, fmt.Sprintf("recipes/recipe-%d/%s", i/3, []string{"index.html", "formula.json", "weights.csv"}[i%3]))
	}
	return names, func(i int) []byte { return text }
}

// outFolder makes a new folder, in memory where the system has one for that, so that no disk is measured.
func outFolder(b *testing.B) string {
	if dir, err := os.MkdirTemp("/dev/shm", "stillroom"); err == nil {
		b.Cleanup(func() { os.RemoveAll(dir) })
		return dir
	}
	return b.TempDir()
}

// benchTree does one build, on all cores; keep says that files are kept, not written.
func benchTree(b *testing.B, dir string, letter byte, keep bool) Tally {
	names, data := outFiles(letter)
	tree, err := OpenTree(dir, OpenEdition)
	require.NoError(b, err)
	defer tree.Close()
	require.NoError(b, tree.Claim(names))
	errs := make([]error, len(names))
	parallel.Do(len(names), func(i int) {
		if kept := false; keep {
			if kept, errs[i] = tree.Keep(names[i]); !kept {
				errs[i] = fmt.Errorf("%s was not kept", names[i])
			}
			return
		}
		errs[i] = tree.Write(names[i], data(i))
	})
	for _, err := range errs {
		require.NoError(b, err)
	}
	tally, err := tree.Finish()
	require.NoError(b, err)
	return tally
}

// BenchmarkTreeNew builds into a new folder.
func BenchmarkTreeNew(b *testing.B) {
	b.ReportAllocs()
	dir := outFolder(b)
	for n := 0; b.Loop(); n++ {
		benchTree(b, path.Join(dir, fmt.Sprint(n)), 'a', false)
		b.StopTimer()
		require.NoError(b, os.RemoveAll(path.Join(dir, fmt.Sprint(n))))
		b.StartTimer()
	}
}

// BenchmarkTreeChanged builds over a folder where every file is another.
func BenchmarkTreeChanged(b *testing.B) {
	b.ReportAllocs()
	dir := outFolder(b)
	benchTree(b, dir, 'a', false)
	for n := 0; b.Loop(); n++ {
		require.Equal(b, 10_000, benchTree(b, dir, "ba"[n%2], false).Changed)
	}
}

// BenchmarkTreeSame builds over a folder where every file is the same.
func BenchmarkTreeSame(b *testing.B) {
	b.ReportAllocs()
	dir := outFolder(b)
	benchTree(b, dir, 'a', false)
	for b.Loop() {
		require.Zero(b, benchTree(b, dir, 'a', false).Changed)
	}
}

// BenchmarkTreeKeep finds every file as it was written.
func BenchmarkTreeKeep(b *testing.B) {
	b.ReportAllocs()
	dir := outFolder(b)
	benchTree(b, dir, 'a', false)
	for b.Loop() {
		require.Zero(b, benchTree(b, dir, 'a', true).Changed)
	}
}
