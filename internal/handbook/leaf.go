package handbook

import (
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
)

// A leaf is what was last read of one file.
type leaf[T any] struct {
	source   *problem.Source
	readable bool // whether source is the file's text
	told     bool // whether something was told of the file's name
	page     *T   // as written
	shown    *T   // page, or its last good form
	problems problem.List
	asked    asked
	good     *problem.Source // the last text that was settled
}

// sound says whether a leaf has no problem, is in no doubt and is shown as it is written.
func (l *leaf[T]) sound() bool {
	return l.problems.Len() == 0 && !l.asked.doubt && l.shown == l.page
}

// An asked is what a page asked of the rest of its handbook while it was read.
type asked struct {
	materials []string // names
	everyName bool     // all names that there are: one was not known
	doubt     bool     // whether a page with problems may say what is missing
	picture   string   // the name in its front matter

	recipes     []string // addresses; only batch records ask
	everyRecipe bool     // all addresses and titles that there are: one was no address
}

// A sheaf is the leaves of one folder, in the order of their files' names.
type sheaf[T any] struct {
	files   []string
	leaves  []*leaf[T]
	unsound []int // of the leaves: read anew each time
	fresh   []int // of the leaves: read since they were last settled
}

// arrange gives the sheaf the files that there are now. It says whether they are the same as before.
func (s *sheaf[T]) arrange(files []string) (same bool) {
	if len(files) == len(s.files) && (len(files) == 0 || &files[0] == &s.files[0]) {
		return true
	}
	had := make(map[string]*leaf[T], len(s.files))
	for i, file := range s.files {
		had[file] = s.leaves[i]
	}
	s.files, s.leaves, s.fresh = files, make([]*leaf[T], len(files)), nil
	for i, file := range files {
		s.leaves[i] = had[file]
		s.fresh = append(s.fresh, i) // those that wait to be settled have other numbers now
	}
	return false
}

// todo lists the leaves that have to be read: that are new, stale, reverted, unsound or no longer stand. Where stands is nil, all do.
func (s *sheaf[T]) todo(r *Reader, same bool, stale Stale, stands func(*leaf[T]) bool) []int {
	if same && stands == nil && !stale.everything {
		return s.named(r, stale)
	}
	var todo []int
	for i, l := range s.leaves {
		file := s.files[i]
		if l == nil || stale.has(file) || r.reverted[file] || l.told != r.listing.told[file] || !l.sound() || stands != nil && !stands(l) {
			todo = append(todo, i)
		}
	}
	return todo
}

// named lists the leaves whose files are named as stale or reverted, and the unsound ones.
func (s *sheaf[T]) named(r *Reader, stale Stale) []int {
	all := slices.Clone(s.unsound)
	add := func(name string) {
		if i, found := slices.BinarySearch(s.files, name); found {
			all = append(all, i)
		}
		for i, _ := slices.BinarySearch(s.files, name+"/"); i < len(s.files) && strings.HasPrefix(s.files[i], name+"/"); i++ {
			all = append(all, i)
		}
	}
	for name := range stale.names {
		add(name)
	}
	for name := range r.reverted {
		add(name)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// settle takes the texts of the fresh leaves as good, other than those that have problems or were reverted.
func (s *sheaf[T]) settle(r *Reader) {
	for _, i := range s.fresh {
		if l := s.leaves[i]; !r.reverted[s.files[i]] && l.problems.Len() == 0 {
			l.good = l.source
		}
	}
	s.fresh = nil
}

// readAll reads the pages of one folder, on all cores: those that have to be read. It gives the pages as shown.
func readAll[T any, P paged[T]](r *Reader, h *Handbook, s *sheaf[T], folder string, kind PageKind, stale Stale, problems *problem.List,
	stands func(*leaf[T]) bool, parse func(*draft) P,
) []*T {
	todo := s.todo(r, s.arrange(r.listing.pages[folder]), stale, stands)
	parallel.Do(len(todo), func(n int) {
		i := todo[n]
		s.leaves[i] = readLeaf(r, h, s.leaves[i], s.files[i], kind, stale, stands, parse)
	})
	s.fresh, s.unsound = append(s.fresh, todo...), nil
	pages := make([]*T, len(s.leaves))
	for i, l := range s.leaves {
		pages[i] = l.shown
		if l.sound() {
			continue
		}
		s.unsound = append(s.unsound, i)
		problems.Join(&l.problems)
		if l.shown != l.page {
			h.written[P(l.shown).self()] = P(l.page).self()
		}
	}
	return pages
}

// readLeaf reads one page, into a leaf of its own unless the old one stands.
func readLeaf[T any, P paged[T]](r *Reader, h *Handbook, old *leaf[T], file string, kind PageKind, stale Stale, stands func(*leaf[T]) bool, parse func(*draft) P) *leaf[T] {
	l := &leaf[T]{told: r.listing.told[file]}
	if old != nil {
		l.source, l.readable, l.good = old.source, old.readable, old.good
	}
	if !l.readable || stale.has(file) {
		l.source, l.readable = readSource(r.fsys, file, &l.problems)
	}
	if old != nil && l.readable && l.source.Text == old.source.Text && !r.reverted[file] && old.sound() && old.told == l.told && (stands == nil || stands(old)) {
		return old
	}
	page := func(l *leaf[T]) *T {
		return parsePage(l.source, l.readable, l.told, kind, h.Access, &l.problems, &l.asked, parse)
	}
	l.page = page(l)
	l.shown = l.page
	if l.good != nil && (r.reverted[file] || r.KeepGood && l.problems.Len() > 0) {
		l.shown = page(&leaf[T]{source: l.good, readable: true, told: true})
	}
	return l
}

// parsePage makes the page of a text. Of a file that cannot be read it makes an empty page, so that links to it are not told to lead nowhere.
func parsePage[P any](src *problem.Source, readable, told bool, kind PageKind, access Access, problems *problem.List, a *asked, parse func(*draft) P) P {
	d := &draft{document: &document{source: src, problems: problems}, page: emptyPage(kind, src)}
	if readable {
		d = newDraft(kind, src, problems)
		if !told {
			d.slug()
		}
	}
	d.usual, d.asked = access, a
	return parse(d)
}

// A paged is a pointer to a kind of page.
type paged[T any] interface {
	*T
	self() *Page
}

func (p *Page) self() *Page { return p }
