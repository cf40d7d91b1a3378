package handbook_test

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
)

// The archives in testdata/bad are handbooks with mistakes, laid over the base one. A faulty line carries what is to be said of it:
//
//	Water: 3 drops   # want: "cannot be weighed"
//	Water: 3 drops   # want 10 "3 drops": "cannot be weighed"
//
// The text in quotes after the colon is part of the message; several texts are several problems. Before the colon may stand the column
// and, in quotes, the words that are marked. Where a line cannot carry a remark, the archive's heading says it:
//
//	recipes/a.md:3 want: "a quote is opened"
//
// Problems that are not wanted fail, as do wanted ones that do not come.

// A want is a problem that must come.
type want struct {
	file, marked, message string
	line, column          int // column 0 is any
}

var (
	wantForm   = regexp.MustCompile(`# want((?: \d+)?)((?: "(?:[^"\\]|\\.)*")?): ((?:"(?:[^"\\]|\\.)*" ?)+)`)
	headForm   = regexp.MustCompile(`^(\S+):(\d+) want((?: \d+)?)((?: "(?:[^"\\]|\\.)*")?): ((?:"(?:[^"\\]|\\.)*" ?)+)$`)
	quotedForm = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
)

func TestBadInput(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("testdata/bad/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			t.Parallel()
			a, err := txtar.ParseFile(path)
			require.NoError(t, err)
			files := base()
			wants := headWants(t, string(a.Comment))
			for _, f := range a.Files {
				files[f.Name] = &fstest.MapFile{Data: f.Data}
				wants = append(wants, lineWants(t, f)...)
			}
			require.NotEmpty(t, wants, "nothing is wanted of %s", path)
			h, problems := handbook.Load(files)
			placed(t, problems)
			for _, fault := range compare(wants, problems.All()) {
				t.Error(fault)
			}
			for _, r := range h.Recipes {
				assert.Len(t, h.Work(r), len(r.Versions), "%s", r.File)
			}
		})
	}
}

func headWants(t *testing.T, comment string) []want {
	t.Helper()
	var wants []want
	for line := range strings.Lines(comment) {
		if !strings.Contains(line, " want") {
			continue
		}
		m := headForm.FindStringSubmatch(strings.TrimSpace(line))
		require.NotNil(t, m, "no want is read from %q", line)
		n, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		wants = append(wants, readWants(t, m[1], n, m[3:])...)
	}
	return wants
}

func lineWants(t *testing.T, f txtar.File) []want {
	t.Helper()
	var wants []want
	n := 0
	for line := range strings.Lines(string(f.Data)) {
		n++
		found := wantForm.FindAllStringSubmatch(line, -1)
		require.Len(t, found, strings.Count(line, "# want"), "%s:%d: not every want is read", f.Name, n)
		for _, m := range found {
			wants = append(wants, readWants(t, f.Name, n, m[1:])...)
		}
	}
	return wants
}

// readWants reads column, marked words and messages.
func readWants(t *testing.T, file string, line int, m []string) []want {
	t.Helper()
	w := want{file: file, line: line}
	var err error
	if c := strings.TrimSpace(m[0]); c != "" {
		w.column, err = strconv.Atoi(c)
		require.NoError(t, err)
	}
	if marked := strings.TrimSpace(m[1]); marked != "" {
		w.marked, err = strconv.Unquote(marked)
		require.NoError(t, err)
	}
	var wants []want
	for _, q := range quotedForm.FindAllString(m[2], -1) {
		w.message, err = strconv.Unquote(q)
		require.NoError(t, err)
		wants = append(wants, w)
	}
	return wants
}

// compare pairs wants with problems and tells what is left over.
func compare(wants []want, problems []*problem.Problem) []string {
	var faults []string
	left := slices.Clone(problems)
	for _, w := range wants {
		i := slices.IndexFunc(left, w.is)
		if i < 0 {
			faults = append(faults, fmt.Sprintf("missing: %s:%d:%d %q: %s", w.file, w.line, w.column, w.marked, w.message))
			continue
		}
		left = slices.Delete(left, i, i+1)
	}
	for _, p := range left {
		faults = append(faults, "not wanted:\n"+p.Text())
	}
	return faults
}

func (w want) is(p *problem.Problem) bool {
	line, column := p.Span.Position()
	return p.Span.File() == w.file && line == w.line && (w.column == 0 || w.column == column) &&
		(w.marked == "" || w.marked == p.Span.Text()) && strings.Contains(p.Message, w.message)
}

// The harness itself must fail on a problem too many and on one too few.
func TestCompareWants(t *testing.T) {
	t.Parallel()
	src := &problem.Source{Name: "a.md", Text: "x\ny: 3 drops\n"}
	p := &problem.Problem{Span: problem.Span{Source: src, Start: 5, End: 12}, Message: "cannot be weighed"}
	good := want{file: "a.md", line: 2, column: 4, marked: "3 drops", message: "weighed"}
	assert.Empty(t, compare([]want{good}, []*problem.Problem{p}))
	assert.Len(t, compare(nil, []*problem.Problem{p}), 1)
	assert.Len(t, compare([]want{good, good}, []*problem.Problem{p}), 1)
	for _, bad := range []want{{"b.md", "", "", 2, 0}, {"a.md", "drops", "", 2, 0}, {"a.md", "", "boiled", 2, 0}, {"a.md", "", "", 1, 0}, {"a.md", "", "", 2, 5}} {
		assert.Len(t, compare([]want{bad}, []*problem.Problem{p}), 2, "%+v", bad)
	}
}
