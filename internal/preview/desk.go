package preview

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// What a change makes stale is read anew and nothing else (handbook.Reader); recipes are worked out and pages drawn when somebody looks at
// them. So a save costs what its own page costs, and an open page is always the first to be made. A page with a problem is shown as it was when
// its file was last good.

// themeMark begins the name of a changed file of the maker's theme.
const themeMark = "theme:"

// Options say what a desk shows.
type Options struct {
	Edition site.Edition
	Theme   string // a folder laid over the default theme, "" for none
}

// A Desk keeps a handbook in memory while it is being written. Changes are taken one at a time; the state may be asked for at any time.
type Desk struct {
	options Options
	folder  *folder
	reader  *handbook.Reader
	book    *site.Book
	theme   *site.Theme
	drawn   *site.Theme // the theme of the state's build
	began   time.Time
	taken   map[string]time.Time // when a file was last taken without a problem, where that was after the beginning
	state   atomic.Pointer[State]
}

// NewDesk reads a handbook. It fails where there is no such folder, or where the maker's theme cannot be used at all.
func NewDesk(dir string, o Options) (*Desk, error) {
	f, err := openFolder(dir)
	if err != nil {
		return nil, err
	}
	d := &Desk{options: o, folder: f, reader: handbook.NewReader(f), book: &site.Book{}, began: time.Now(), taken: make(map[string]time.Time)}
	d.reader.KeepGood = true
	if d.theme, err = d.loadTheme(); err != nil {
		return nil, err
	}
	d.state.Store(d.read(handbook.Everything))
	return d, nil
}

// Close lets go of the folder.
func (d *Desk) Close() error { return d.folder.Close() }

// Now gives the handbook as it is at the moment.
func (d *Desk) Now() *State { return d.state.Load() }

func (d *Desk) loadTheme() (*site.Theme, error) {
	if d.options.Theme == "" {
		return site.LoadTheme(linen.FS, nil)
	}
	root, err := os.OpenRoot(d.options.Theme)
	if err != nil {
		return nil, fmt.Errorf("open the theme: %w", err)
	}
	defer root.Close()
	return site.LoadTheme(linen.FS, root.FS())
}

// A Report says what taking a change came to.
type Report struct {
	Number        int
	Files         []string // of the handbook or theme that changed, none where anything may have
	All           bool     // anything may have changed
	Same          bool     // nothing that is shown is otherwise than before
	Read          int      // pages read anew
	Problems      int
	Took          time.Duration
	before, after *State
	changed       []*handbook.Recipe // read anew
	did           map[string]*Effect // what the change did to them, by slug, as far as it is worked out
}

// Take takes a change.
func (d *Desk) Take(c Change) Report {
	start, old := time.Now(), d.Now()
	state := d.next(c)
	state.Number, state.folder = old.Number+1, d.folder
	report := Report{Files: partOf(c.Files, old, state), All: c.All, Problems: len(state.Problems), before: old, after: state}
	if old.same(state) && (state.Absent || len(report.pictures()) == 0) {
		report.Same, report.Number = true, old.Number
		return report
	}
	state.good = d.lastGood(c, old, state, start)
	report.changed = site.Changed(old.Build, state.Build)
	state.effects, report.did = effects(old, state, report.changed)
	state.Took = time.Since(start)
	d.state.Store(state)
	report.Number, report.Read, report.Took = state.Number, len(report.changed), state.Took
	return report
}

// partOf gives those of some files that are or were part of the handbook or theme; the rest are editors' own.
func partOf(files []string, before, after *State) []string {
	return slices.DeleteFunc(slices.Clone(files), func(file string) bool {
		return !before.Build.Reads(file) && !after.Build.Reads(file) && !strings.HasPrefix(file, themeMark)
	})
}

// next gives the state after a change.
func (d *Desk) next(c Change) *State {
	old := d.Now()
	if !d.folder.isThere() {
		state := *old
		state.Absent = true
		return &state
	}
	stale, themed := handbook.Everything, c.All
	if !c.All && !old.Absent {
		var files []string
		for _, file := range c.Files {
			if strings.HasPrefix(file, themeMark) {
				themed = true
			} else {
				files = append(files, file)
			}
		}
		stale = handbook.Files(files...)
	} else if err := d.folder.reopen(); err != nil {
		state := *old
		state.Absent = true
		return &state
	}
	fault := old.Theme
	if themed {
		theme, err := d.loadTheme()
		if fault = err; err == nil {
			d.theme = theme
		}
	}
	state := d.read(stale)
	state.Theme = fault
	return state
}

// read reads what is stale. A page whose body has a problem is put back to its last good form, too, once the problem is told.
func (d *Desk) read(stale handbook.Stale) *State {
	problems, again := &problem.List{}, &problem.List{}
	h, found := d.reader.Read(stale)
	problems.Join(found)
	d.book = d.book.Renew(h, problems)
	d.theme.CheckLanguage(h, problems)
	var files []string
	for _, p := range problems.All() {
		if page := h.PageOf(p.Span.File()); page != nil && h.Written(page) == page {
			files = append(files, page.File)
		}
	}
	if files != nil {
		d.book = d.book.Renew(d.reader.Revert(files...), again)
	}
	d.reader.Settle()
	return &State{Build: d.build(), Problems: problems.All(), folder: d.folder}
}

// build gives the edition that is shown, from the one shown before where there is one.
func (d *Desk) build() *site.Build {
	if now := d.Now(); now != nil && d.drawn == d.theme {
		return now.Build.Renew(d.book)
	}
	d.drawn = d.theme
	return site.NewProof(d.book, d.options.Edition, d.theme)
}

// same says whether two states show the same, pictures apart.
func (s *State) same(other *State) bool {
	return s.Absent == other.Absent && fmt.Sprint(s.Theme) == fmt.Sprint(other.Theme) && s.Build.Alike(other.Build) &&
		s.Build.SamePages(other.Build.Handbook) &&
		slices.EqualFunc(s.Problems, other.Problems, func(a, b *problem.Problem) bool { return a.Text() == b.Text() })
}

// effects gives what the last change to each recipe did, as far as the recipe had been looked at before, and what this change did. A recipe in
// which no figure and no finding is otherwise keeps the effect that it had.
func effects(before, after *State, changed []*handbook.Recipe) (all, did map[string]*Effect) {
	const most = 20 // recipes that are worked out again at once; of a change to more, the pages tell by themselves
	all, did = make(map[string]*Effect), make(map[string]*Effect)
	maps.Copy(all, before.effects)
	n := 0
	for _, r := range changed {
		old := before.Build.RecipeAt(r.Slug)
		if old == nil || !before.Build.Known(old) || n == most {
			delete(all, r.Slug)
			continue
		}
		n++
		switch e, compared := effectOf(before, after, old, r); {
		case e != nil:
			all[r.Slug], did[r.Slug] = e, e
		case !compared:
			delete(all, r.Slug)
		}
	}
	return all, did
}

// effectOf compares two forms of a recipe. Where a bug panics, the page will tell of it; watching goes on.
func effectOf(before, after *State, old, r *handbook.Recipe) (e *Effect, compared bool) {
	defer func() {
		if recover() != nil {
			e, compared = nil, false
		}
	}()
	return Compare(before.Build.Worked(old), after.Build.Worked(r)), true
}

// An Affected is a recipe and what a change did to it.
type Affected struct {
	*handbook.Recipe
	Effect *Effect
}

// Effects gives what a change did to the recipes that it touched, as far as that is known. Where it touched a single one that nobody had looked
// at, that one is worked out in both forms, and what it came to is kept for its page; so Effects is for after the open pages were told. It is
// called before the next change is taken.
func (d *Desk) Effects(r Report) []Affected {
	if len(r.changed) == 1 {
		d.workOut(&r, r.changed[0])
	}
	var all []Affected
	for _, recipe := range r.changed {
		if e := r.did[recipe.Slug]; e != nil {
			all = append(all, Affected{recipe, e})
		}
	}
	return all
}

// workOut adds what a change did to a recipe of which it was not known.
func (d *Desk) workOut(r *Report, recipe *handbook.Recipe) {
	old := r.before.Build.RecipeAt(recipe.Slug)
	if old == nil || r.did[recipe.Slug] != nil || r.after.Build.Known(recipe) && r.before.Build.Known(old) {
		return
	}
	e, _ := effectOf(r.before, r.after, old, recipe)
	if e == nil {
		return
	}
	r.did = map[string]*Effect{recipe.Slug: e}
	state := *r.after
	state.effects = maps.Clone(state.effects)
	state.effects[recipe.Slug] = e
	d.state.CompareAndSwap(r.after, &state)
}

// lastGood gives when the files that have problems now were last taken without one; a file that never was is not among them.
func (d *Desk) lastGood(c Change, before, after *State, now time.Time) map[string]time.Time {
	for _, file := range c.Files {
		if _, err := d.folder.Lstat(file); err != nil {
			delete(d.taken, file) // what is gone is kept no memory of, or it would grow for as long as files come and go
		} else if !isFaulty(after, file) {
			d.taken[file] = now
		}
	}
	if c.All {
		clear(d.taken)
		d.began = now
	}
	good := make(map[string]time.Time)
	for _, p := range after.Problems {
		file := p.Span.File()
		switch at, known := d.taken[file]; {
		case isFaulty(before, file):
			if was, known := before.good[file]; known {
				good[file] = was
			}
		case before.Build.PageOf(file) == nil && file != settingsFile:
		case known:
			good[file] = at
		default:
			good[file] = d.began
		}
	}
	return good
}

// Depends lists the pages that the change may have altered.
func (r Report) Depends() []site.Dependent {
	return site.Affected(r.before.Build, r.after.Build, r.touched()...)
}

// touched gives the files that may have changed, or the folder of them all.
func (r Report) touched() []string {
	if r.All {
		return []string{"."}
	}
	return r.Files
}

// Event gives what open pages are told.
func (r Report) Event() Event {
	return Event{Number: r.Number, Files: r.Files, Problems: r.Problems, Pictures: r.pictures()}
}

// pictures lists the pictures that may have changed, as they are served.
func (r Report) pictures() []string { return r.after.Build.PicturesIn(r.touched()...) }

// Troubles gives the problems after the change: those in the files that changed and those that are new, and the others.
func (r Report) Troubles() (told, others []*problem.Problem) {
	old := make(map[string]bool)
	for _, p := range r.before.Problems {
		old[p.Text()] = true
	}
	for _, p := range r.after.Problems {
		if slices.Contains(r.Files, p.Span.File()) || !old[p.Text()] {
			told = append(told, p)
		} else {
			others = append(others, p)
		}
	}
	return told, others
}

// Mended says whether there are fewer problems than before.
func (r Report) Mended() bool { return len(r.after.Problems) < len(r.before.Problems) }

// State gives the handbook after the change.
func (r Report) State() *State { return r.after }
