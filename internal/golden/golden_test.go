package golden

import (
	"flag"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"
)

// A recorder stands in for a test and only notes that it failed.
type recorder struct {
	testing.TB
	failed bool
}

func (r *recorder) Helper()               {}
func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) Failed() bool          { return r.failed }
func (r *recorder) Name() string          { return "recorder" }

func (r *recorder) FailNow() {
	r.failed = true
	runtime.Goexit()
}

// fails tells whether a check fails the test that it is given.
func fails(check func(t testing.TB)) bool {
	r := &recorder{}
	done := make(chan struct{})
	go func() {
		defer close(done)
		check(r)
	}()
	<-done
	return r.failed
}

// updating runs a check as with -update.
func updating(t *testing.T, check func()) {
	t.Helper()
	was := *update
	require.NoError(t, flag.Set("update", "true"))
	defer func() { *update = was }()
	check()
}

func TestEqual(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "page.html")
	assert.True(t, fails(func(t testing.TB) { Equal(t, path, "a") }), "a missing file")
	updating(t, func() {
		assert.False(t, fails(func(t testing.TB) { Equal(t, path, "a") }))
	})
	assert.False(t, fails(func(t testing.TB) { Equal(t, path, "a") }))
	assert.True(t, fails(func(t testing.TB) { Equal(t, path, "b") }), "another text")
}

const archive = `what it proves
-- body.md --
text
-- page.html --
<p>text</p>
`

func open(t *testing.T) *Archive {
	t.Helper()
	path := filepath.Join(t.TempDir(), "case.txtar")
	require.NoError(t, os.WriteFile(path, []byte(archive), 0o644))
	content, err := txtar.ParseFile(path)
	require.NoError(t, err)
	return &Archive{Path: path, content: content}
}

func TestArchive(t *testing.T) {
	tests := map[string]struct {
		check func(t testing.TB, a *Archive)
		fails bool
	}{
		"equal": {func(t testing.TB, a *Archive) {
			assert.Equal(t, "text\n", a.Input(t, "body.md"))
			a.Equal(t, "page.html", "<p>text</p>")
			a.Equal(t, "issues.txt", "")
		}, false},
		"another text":       {func(t testing.TB, a *Archive) { a.Input(t, "body.md"); a.Equal(t, "page.html", "<p>") }, true},
		"nothing":            {func(t testing.TB, a *Archive) { a.Input(t, "body.md"); a.Equal(t, "page.html", "") }, true},
		"more than wanted":   {func(t testing.TB, a *Archive) { a.Input(t, "body.md"); a.Equal(t, "issues.txt", "x") }, true},
		"a missing input":    {func(t testing.TB, a *Archive) { a.Input(t, "other.md") }, true},
		"a part unasked for": {func(t testing.TB, a *Archive) { a.Input(t, "body.md") }, true},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			a := open(t)
			assert.Equal(t, test.fails, fails(func(t testing.TB) {
				test.check(t, a)
				a.finish(t)
			}))
			kept, err := os.ReadFile(a.Path)
			require.NoError(t, err)
			assert.Equal(t, archive, string(kept), "nothing is written without -update")
		})
	}
}

func TestArchiveUpdate(t *testing.T) {
	a := open(t)
	updating(t, func() {
		assert.False(t, fails(func(t testing.TB) {
			a.Input(t, "body.md")
			a.Equal(t, "page.html", "")
			a.Equal(t, "issues.txt", "one")
			a.Equal(t, "words.txt", "")
			a.finish(t)
		}))
	})
	kept, err := os.ReadFile(a.Path)
	require.NoError(t, err)
	assert.Equal(t, "what it proves\n-- body.md --\ntext\n-- issues.txt --\none\n", string(kept))
}
