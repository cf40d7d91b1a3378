package handbook

import (
	"bytes"
	"cmp"
	"errors"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// A loader is the state of one loading.
type loader struct {
	fsys     fs.FS
	problems *problem.List
	told     map[string]bool // files of whose names something was told
}

// readSource reads a file as text. It gives a source, if an empty one, even where it adds a problem and says false.
func readSource(fsys fs.FS, file string, problems *problem.List) (src *problem.Source, readable bool) {
	if err := readRaw(fsys, file, func(raw []byte) { src, readable = newSource(file, raw, problems) }); err != nil {
		return unreadable(file, err, problems), false
	}
	return src, readable
}

// readRaw hands on a file's bytes, which hold until it returns; of a page that is too large, as many as tell that.
func readRaw(fsys fs.FS, file string, take func(raw []byte)) error {
	f, err := fsys.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	raw := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(raw)
	raw.Reset()
	if _, err := raw.ReadFrom(io.LimitReader(f, maxPage+1)); err != nil {
		return err
	}
	take(raw.Bytes())
	return nil
}

// buffers are for files while they are read.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// unreadable tells of a file or folder that cannot be read, and gives an empty source for it.
func unreadable(file string, err error, problems *problem.List) *problem.Source {
	src := &problem.Source{Name: file}
	if file == settingsFile && errors.Is(err, fs.ErrNotExist) {
		problems.Addf(problem.Span{Source: src}, "a handbook has a file "+settingsFile+" that gives its title and shelves; “stillroom begin DIR” makes one", "the file is missing")
		return src
	}
	if size, ok := errors.AsType[*sizeError](err); ok {
		problems.Addf(problem.Span{Source: src}, size.hint(), "%v", size)
		return src
	}
	if inner, ok := errors.AsType[*fs.PathError](err); ok {
		err = inner.Err
	}
	problems.Addf(problem.Span{Source: src}, "see that it is there and may be opened", "this cannot be read: %v", err)
	return src
}

// recordsFolder is where the batch records are.
const recordsFolder = "batches"

// folders are where a handbook's files are.
func folders() []string {
	return []string{"recipes", "ingredients", "notes", "pictures", recordsFolder}
}

// files lists the files of the handbook's folders.
func (l *loader) files() []string {
	var all []string
	for _, top := range folders() {
		err := fs.WalkDir(l.fsys, top, func(file string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				if file != top || !errors.Is(err, fs.ErrNotExist) {
					unreadable(file, err, l.problems)
				}
				return nil
			case hidden(entry.Name()) && entry.IsDir():
				return fs.SkipDir
			case !hidden(entry.Name()) && badName(entry.Name()) != "":
				l.told[file] = true
				l.problems.Addf(problem.Span{Source: &problem.Source{Name: file}}, "rename it; letters, digits and hyphens are read everywhere", "%s, so it is passed over", badName(entry.Name()))
				if entry.IsDir() {
					return fs.SkipDir
				}
			case !hidden(entry.Name()) && !entry.IsDir() && entry.Type()&^fs.ModeSymlink == 0: // no pipes, which would never end
				all = append(all, file)
			}
			return nil
		})
		if err != nil {
			unreadable(top, err, l.problems)
		}
	}
	slices.Sort(all)
	return all
}

// hidden says whether a file or folder is passed over for its name.
func hidden(name string) bool { return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_") }

// passedOver tells of files and folders that would be passed over for a slip in their names.
func (l *loader) passedOver(files []string) {
	for _, file := range files {
		low := strings.ToLower(file)
		for _, ending := range []string{".md.txt", ".markdown", ".mdown", ".mkd"} {
			if name, found := strings.CutSuffix(low, ending); found {
				l.misnamed(file, path.Base(name)+".md", "a page's name ends in .md, so this one would be passed over")
			}
		}
	}
	top, _ := fs.ReadDir(l.fsys, ".") // a folder that cannot be listed is told of elsewhere
	for _, entry := range top {
		name := entry.Name()
		near := spell.Nearest(name, append(folders(), settingsFile))
		if near == "" || near == name || entry.IsDir() == (near == settingsFile) {
			continue
		}
		if _, err := fs.Stat(l.fsys, near); err != nil {
			l.misnamed(name, near, "no part of a handbook has this name, so it would be passed over")
		}
	}
}

func (l *loader) misnamed(file, right, message string) {
	l.told[file] = true
	l.problems.Addf(problem.Span{Source: &problem.Source{Name: file}}, "rename it to "+right, "%s", message)
}

// sameButCase refuses files whose names differ only in case: on many systems one would hide the other.
func (l *loader) sameButCase(files []string) {
	first := make(map[string]string, len(files))
	for _, file := range files {
		key := strings.ToLower(file)
		if other, taken := first[key]; taken {
			l.told[file] = true
			l.problems.Addf(problem.Span{Source: &problem.Source{Name: file}}, "rename one of the two", "the name differs from %s only in small and capital letters, so on many computers one would hide the other", other)
			continue
		}
		first[key] = file
	}
}

// ownShelves makes shelves of the names that recipes give, in the order of the alphabet, where the handbook lists none.
func (h *Handbook) ownShelves() {
	if len(h.Shelves) > 0 {
		return
	}
	named := make(map[string]bool)
	for _, r := range h.Recipes {
		if r.Shelf != "" && !named[r.Shelf] {
			named[r.Shelf] = true
			h.Shelves = append(h.Shelves, Shelf{Name: r.Shelf})
		}
	}
	slices.SortFunc(h.Shelves, func(a, b Shelf) int { return cmp.Compare(material.Key(a.Name), material.Key(b.Name)) })
}

// doubt notes that what an ingredient's page says may not be all, so that nothing is told as missing from it.
func (h *Handbook) doubt(i *Ingredient) {
	if i.faulty {
		h.doubtful[i.Material.ID] = true
		h.doubtful[""] = h.doubtful[""] || i.Title == ""
	}
}

// A clash is a page that would have the same address as another.
type clash struct{ file, other string }

// addresses refuses two pages of a kind that would have the same address. Which they are hangs on the files' names alone.
func (h *Handbook) addresses(problems *problem.List) {
	l := h.listing
	if !l.known {
		l.clashes, l.known = h.clashes(), true
	}
	for _, c := range l.clashes {
		problems.Addf(h.PageOf(c.file).top(), "rename one of the two; sub-folders do not show in addresses", "the page would have the same address as %s", c.other)
	}
}

func (h *Handbook) clashes() []clash {
	var all []clash
	first := make(map[string]*Page)
	for _, file := range slices.Sorted(maps.Keys(h.pages)) {
		p := h.pages[file]
		key := string(p.Kind) + "/" + p.Slug
		if other := first[key]; other != nil {
			if !h.listing.told[p.File] {
				all = append(all, clash{p.File, other.File})
			}
			continue
		}
		first[key] = p
	}
	return all
}
