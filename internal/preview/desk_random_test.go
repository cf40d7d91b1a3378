package preview

import (
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/synthetic/maker"
)

// How long the maker works; much longer runs are for those who change how a handbook is read.
var (
	seeds = flag.Uint64("seeds", 1, "how many makers work at a handbook, in each edition")
	steps = flag.Int("steps", 12, "how many things each of them does")
)

// Whatever a maker does, and in whatever order, a desk shows what a tool that has just been started would show: every file of the edition is the
// same, byte by byte. Where something is wrong, it shows what a new start would show if the files concerned were put back to when they were
// last good.
func TestDeskShowsWhatAFreshOneWould(t *testing.T) {
	t.Parallel()
	for _, edition := range []site.Edition{site.MakerEdition, site.OpenEdition, site.MembersEdition} {
		for seed := range *seeds {
			t.Run(fmt.Sprintf("%s-%d", edition, seed), func(t *testing.T) {
				t.Parallel()
				p := newTrial(t, edition, seed)
				for i := range *steps {
					p.step(i)
					if t.Failed() {
						return
					}
				}
				t.Logf("%d steps without a problem, %d with last good forms", p.soundSteps, p.goodSteps)
				assert.Positive(t, p.soundSteps, "steps at which the handbook was without a problem")
				assert.Positive(t, p.goodSteps, "steps at which a page was shown in its last good form, and compared")
			})
		}
	}
}

// A trial is a maker at work while a desk looks on.
type trial struct {
	*testing.T
	w                     *maker.World
	r                     *rand.Rand
	desk                  *Desk
	edition               site.Edition
	shown                 map[string]string // by the desk, path → bytes
	good                  map[string]string // texts that had no problem when they were last read
	soundSteps, goodSteps int
}

func newTrial(t *testing.T, edition site.Edition, seed uint64) *trial {
	w := maker.New(t)
	desk, err := NewDesk(w.Dir, Options{Edition: edition})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, desk.Close()) })
	require.Empty(t, texts(desk.Now().Problems))
	p := &trial{T: t, w: w, r: rand.New(rand.NewPCG(seed, 7)), desk: desk, edition: edition, good: maps.Clone(w.Original)}
	p.shown = outputsOf(t, desk.Now())
	return p
}

// outputsOf draws everything that a state has.
func outputsOf(t *testing.T, s *State) map[string]string {
	t.Helper()
	all := make(map[string]string)
	for _, file := range s.Build.Paths() {
		data, found, err := s.Page(file)
		if err != nil && strings.HasPrefix(file, "pictures/") { // a picture that is emptied cannot be shown, and says so
			all[file] = err.Error()
			continue
		}
		require.NoError(t, err, file)
		if found || !strings.HasPrefix(file, "pictures/") {
			require.True(t, found, file)
			all[file] = string(data)
		}
	}
	return all
}

// step does something, tells the desk, and compares.
func (p *trial) step(i int) {
	what, changed := p.w.Step(p.r, len(p.desk.Now().Problems) > 0)
	change := Change{Files: changed}
	switch p.r.IntN(12) {
	case 0:
		change = Change{All: true}
	case 1:
		for j, file := range changed {
			if file != "handbook.yaml" {
				changed[j], _, _ = strings.Cut(file, "/")
			}
		}
	}
	what = fmt.Sprintf("step %d: %stold %v", i, what, change)
	before, drawn := p.desk.Now(), make(chan bool)
	go func() { // somebody looks at the pages meanwhile
		defer close(drawn)
		for file, was := range p.shown {
			if data, _, err := before.Page(file); !strings.HasPrefix(file, "pictures/") {
				assert.NoError(p, err)
				assert.Equal(p, was == string(data), true, "%s: a state that was shown has changed: %s", what, file)
			}
		}
	}()
	report := p.desk.Take(change)
	<-drawn
	state := p.desk.Now()
	now := outputsOf(p.T, state)
	p.number(what, before, state, report)
	p.problems(what, state)
	p.affected(what, report, now)
	p.reread(what, change, before, state)
	p.shown = now
	p.settle(state)
}

// number sees that the state's number tells whether anything is otherwise.
func (p *trial) number(what string, before, state *State, report Report) {
	assert.Equal(p, state.Number, report.Number, what)
	assert.Len(p, state.Problems, report.Problems, what)
	if report.Same {
		assert.Same(p, before, state, what)
	} else {
		assert.Equal(p, before.Number+1, state.Number, what)
	}
}

// problems compares the desk with a fresh one.
func (p *trial) problems(what string, state *State) {
	fresh, problems := freshState(os.DirFS(p.w.Dir), p.desk)
	if len(problems) == 0 {
		p.soundSteps++
		assert.Empty(p, texts(state.Problems), what)
		p.same(what, outputsOf(p.T, fresh), outputsOf(p.T, state))
		return
	}
	assert.NotEmpty(p, state.Problems, "%s: nothing is told where a fresh start tells %v", what, texts(problems))
	last := p.lastGood(state)
	good, left := freshState(last, p.desk)
	if len(left) == 0 {
		p.goodSteps++
		p.same(what+" (last good forms)", outputsOf(p.T, good), outputsOf(p.T, state))
	}
	p.told(what, state, problems, left)
}

// told sees that a desk tells nothing but what a fresh start tells of the files as they are, or of the last good forms that are shown in their
// place; and that of no file with a problem it is silent.
func (p *trial) told(what string, state *State, fresh, ofGood []*problem.Problem) {
	known := make(map[string]bool)
	for _, q := range append(slices.Clone(fresh), ofGood...) {
		known[q.Text()] = true
	}
	files := make(map[string]bool)
	for _, q := range state.Problems {
		files[q.Span.File()] = true
		assert.True(p, known[q.Text()] || p.mixed(state, q), "%s: told but not by a fresh start:\n%sfresh:\n%s", what, q.Text(), strings.Join(texts(fresh), ""))
	}
	for _, q := range fresh {
		assert.True(p, files[q.Span.File()] || p.follows(q), "%s: not told:\n%stold:\n%s", what, q.Text(), strings.Join(texts(state.Problems), ""))
	}
}

// mixed says whether a problem is one of the handbook in which some faulty files are as they are and others in their last good form, as
// the reader sees it: a page is read against the good forms of the files it depends on.
func (p *trial) mixed(state *State, q *problem.Problem) bool {
	mix := p.lastGood(state)
	if raw, err := os.ReadFile(p.w.Path(q.Span.File())); err == nil {
		mix[q.Span.File()] = &fstest.MapFile{Data: raw}
	}
	_, problems := freshState(mix, p.desk)
	return slices.ContainsFunc(problems, func(other *problem.Problem) bool { return other.Text() == q.Text() })
}

// follows says whether a problem is gone when the other faulty files are in their last good form, so that it needs no telling.
func (p *trial) follows(q *problem.Problem) bool { return !p.mixed(p.desk.Now(), q) }

// lastGood gives the folder with the texts of the faulty files put back to when they were last good.
func (p *trial) lastGood(state *State) fstest.MapFS {
	folder := make(fstest.MapFS)
	for _, file := range p.w.Files() {
		raw, err := os.ReadFile(p.w.Path(file))
		if err != nil {
			folder[file] = &fstest.MapFile{Data: []byte("nowhere-at-all"), Mode: fs.ModeSymlink}
			continue
		}
		folder[file] = &fstest.MapFile{Data: raw}
	}
	for _, q := range state.Problems {
		file := q.Span.File()
		if text, had := p.good[file]; had && (folder[file] != nil && path.Ext(file) == ".md" || file == "handbook.yaml") {
			folder[file] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return folder
}

// settle remembers the texts that have no problem.
func (p *trial) settle(state *State) {
	faulty := make(map[string]bool)
	for _, q := range state.Problems {
		faulty[q.Span.File()] = true
	}
	there := p.w.Files()
	maps.DeleteFunc(p.good, func(file, _ string) bool { return file != "handbook.yaml" && !slices.Contains(there, file) })
	for _, file := range there {
		if !faulty[file] {
			p.good[file] = p.w.Read(file)
		}
	}
}

// freshState reads a folder as a tool does that has just been started.
func freshState(fsys fs.FS, d *Desk) (*State, []*problem.Problem) {
	h, problems := handbook.Load(fsys)
	book := site.Prepare(h, problems)
	return &State{Build: site.NewProof(book, d.options.Edition, d.theme), folder: d.folder}, problems.All()
}

func texts(problems []*problem.Problem) []string {
	var all []string
	for _, p := range problems {
		all = append(all, p.Text())
	}
	return all
}

// same compares outputs file by file.
func (p *trial) same(what string, want, got map[string]string) {
	p.Helper()
	assert.Equal(p, slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(got)), what)
	for file := range want {
		if want[file] != got[file] {
			assert.Fail(p, "stale", "%s: %s\n%s", what, file, firstDifference(want[file], got[file]))
		}
	}
}

func firstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d\nwant %.300s\ngot  %.300s", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("%d lines in place of %d", len(b), len(a))
}

// affected sees that every output that differs is told as depending on the change.
func (p *trial) affected(what string, report Report, now map[string]string) {
	var depends []string
	for _, d := range report.Depends() {
		depends = append(depends, d.Path)
	}
	paths := maps.Clone(now)
	maps.Copy(paths, p.shown)
	for file := range paths {
		was, had := p.shown[file]
		is, has := now[file]
		if had == has && was == is {
			continue
		}
		if report.Same {
			assert.Fail(p, "taken as the same", "%s: %s", what, file)
		}
		if strings.HasPrefix(file, "pictures/") {
			assert.True(p, !had || !has || slices.Contains(report.Event().Pictures, file), "%s: %s is not told as changed", what, file)
			continue
		}
		if strings.HasPrefix(file, "recipes/") { // figures and weights go with their page
			file = path.Dir(file) + "/index.html"
		}
		if !strings.HasSuffix(file, ".html") {
			continue // a list for programs, which follows every page
		}
		assert.Contains(p, depends, file, "%s: %s", what, firstDifference(was, is))
	}
}

// reread sees that what does not hang on the change was not read anew: pages without a problem keep their place in memory, recipes
// if no ingredient changed either.
func (p *trial) reread(what string, change Change, before, after *State) {
	if change.All || slices.ContainsFunc(change.Files, func(file string) bool { return file == "handbook.yaml" || !strings.HasSuffix(file, ".md") }) {
		return
	}
	faulty := make(map[string]bool)
	for _, q := range append(slices.Clone(before.Problems), after.Problems...) {
		faulty[q.Span.File()] = true
	}
	if faulty["handbook.yaml"] {
		return
	}
	ingredients := slices.ContainsFunc(slices.Concat(change.Files, slices.Collect(maps.Keys(faulty))), func(file string) bool { return strings.HasPrefix(file, "ingredients/") })
	expect := func(file string, same bool) {
		if !faulty[file] && !slices.Contains(change.Files, file) {
			assert.True(p, same, "%s: %s was read anew", what, file)
		}
	}
	for _, x := range after.Build.Handbook.Ingredients {
		if old := before.Build.PageOf(x.File); old != nil {
			expect(x.File, old == &x.Page)
		}
	}
	for _, x := range after.Build.Handbook.Notes {
		if old := before.Build.PageOf(x.File); old != nil {
			expect(x.File, old == &x.Page)
		}
	}
	for _, x := range after.Build.Handbook.Recipes {
		if old := before.Build.PageOf(x.File); old != nil && !ingredients {
			expect(x.File, old == &x.Page)
		}
	}
}
