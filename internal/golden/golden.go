// Package golden compares what a test got with files kept beside it, and renews them with -update.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"
)

// update is the one flag of that name: go test ./internal/… -update writes what the tests got.
var update = flag.Bool("update", false, "write the golden files anew")

// Equal checks that a file holds what a test got. With -update it is written instead.
func Equal(t testing.TB, path, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run the test with -update to write what it gets")
	assert.Equal(t, string(want), got, "%s is out of date; run the test with -update and look at what changes", path)
}

// An Archive is a test case in one text file: parts named by lines like -- body.md --, some read, some wanted.
// A part ends with a line break; a text without one is compared as if it had it.
type Archive struct {
	Path    string
	content *txtar.Archive
	asked   []string
	renewed bool
}

// Archives runs a test for every archive that the pattern finds, named after its file. A pattern that finds none
// fails, as does a part that the test never asked for.
func Archives(t *testing.T, pattern string, test func(t *testing.T, a *Archive)) {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	require.NoError(t, err)
	require.NotEmpty(t, paths, "no archive is found by %s", pattern)
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			content, err := txtar.ParseFile(path)
			require.NoError(t, err)
			a := &Archive{Path: path, content: content}
			test(t, a)
			a.finish(t)
		})
	}
}

// Input gives a part that the test reads. The test fails without it.
func (a *Archive) Input(t testing.TB, name string) string {
	t.Helper()
	i := a.find(name)
	require.GreaterOrEqual(t, i, 0, "%s has no part %s", a.Path, name)
	return string(a.content.Files[i].Data)
}

// Equal checks that a part holds what the test got; a missing part wants nothing. With -update it is written, or
// taken away when nothing was got.
func (a *Archive) Equal(t testing.TB, name, got string) {
	t.Helper()
	if got != "" && !strings.HasSuffix(got, "\n") {
		got += "\n"
	}
	want := ""
	i := a.find(name)
	if i >= 0 {
		want = string(a.content.Files[i].Data)
	}
	if !*update {
		assert.Equal(t, want, got, "%s, %s", a.Path, name)
		return
	}
	a.renew(i, name, got)
}

// find gives the place of a part, or -1, and notes that it was asked for.
func (a *Archive) find(name string) int {
	a.asked = append(a.asked, name)
	return slices.IndexFunc(a.content.Files, func(f txtar.File) bool { return f.Name == name })
}

func (a *Archive) renew(i int, name, got string) {
	switch {
	case i < 0 && got == "":
		return
	case i < 0:
		a.content.Files = append(a.content.Files, txtar.File{Name: name, Data: []byte(got)})
	case got == "":
		a.content.Files = slices.Delete(a.content.Files, i, i+1)
	case string(a.content.Files[i].Data) == got:
		return
	default:
		a.content.Files[i].Data = []byte(got)
	}
	a.renewed = true
}

// finish reports parts that no one asked for, and writes a renewed archive.
func (a *Archive) finish(t testing.TB) {
	t.Helper()
	for _, f := range a.content.Files {
		assert.Contains(t, a.asked, f.Name, "%s: no test asks for the part %s", a.Path, f.Name)
	}
	if a.renewed && !t.Failed() {
		require.NoError(t, os.WriteFile(a.Path, txtar.Format(a.content), 0o644))
	}
}
