package preview

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/fsnotify/fsnotify"
)

// A stamp is what can be seen of a file or folder without reading it. The zero value stands for nothing there.
type stamp struct {
	there bool
	mode  fs.FileMode
	size  int64 // of a file
	saved int64 // when a file was, in nanoseconds
}

func (s stamp) folder() bool { return s.mode.IsDir() }
func (s stamp) empty() bool  { return s.there && s.mode.IsRegular() && s.size == 0 }

// A tree is a watched folder with everything below it. Names within it are slash-separated; "." is the folder itself.
type tree struct {
	dir    string
	prefix string // before each name that is reported

	real string      // where dir is when links are followed
	info fs.FileInfo // which folder that is; nil while there is none

	told    map[string]stamp    // what was there at the last report
	changed map[string]struct{} // what to report next
	touched []string            // folders that came, went or were exchanged since the last survey
	links   []string            // what leads elsewhere
	lost    bool                // the folder itself vanished, came back or was exchanged
}

func newTree(dir string) (*tree, error) {
	full, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	t := &tree{dir: full, told: map[string]stamp{}, changed: map[string]struct{}{}}
	t.info, err = identify(full)
	return t, err
}

// identify says which folder has this name. It opens it, since some systems find out what it is only then.
func identify(dir string) (fs.FileInfo, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err == nil && !info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: dir, Err: errors.New("this is no folder")}
	}
	return info, err
}

// moved says whether another folder, or none, has the tree's name now.
func (t *tree) moved() bool {
	info, _ := identify(t.dir) // a folder that cannot be opened is as good as none
	return !sameFolder(t.info, info)
}

func sameFolder(a, b fs.FileInfo) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return os.SameFile(a, b)
}

// within gives the name in the tree of a file or folder, and whether it has one that is not passed over.
func (t *tree) within(file string) (string, bool) {
	if t.info == nil || file == "" {
		return "", false
	}
	name, err := filepath.Rel(t.real, file)
	if err != nil || !filepath.IsLocal(name) {
		return "", false
	}
	name = filepath.ToSlash(name)
	if name == "." {
		return name, true
	}
	for part := range strings.SplitSeq(name, "/") {
		if unwatched(part) {
			return "", false
		}
	}
	return name, true
}

// unwatched says whether a file or folder is passed over for its name.
func unwatched(name string) bool { return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_") }

// look gives the stamp of what has this name now.
func (t *tree) look(name string) stamp {
	if t.info == nil {
		return stamp{}
	}
	file := filepath.Join(t.real, filepath.FromSlash(name))
	info, err := os.Stat(file)
	if errors.Is(err, fs.ErrNotExist) {
		info, err = os.Lstat(file) // a link may lead nowhere
	}
	switch {
	case err != nil:
		return stamp{}
	case info.IsDir():
		return stamp{there: true, mode: info.Mode()}
	}
	return stamp{there: true, mode: info.Mode(), size: info.Size(), saved: info.ModTime().UnixNano()}
}

// note marks what an event may have changed, and says whether folders came or went.
func (t *tree) note(name string, op fsnotify.Op) (anew bool) {
	if name == "." {
		gone := op.Has(fsnotify.Remove | fsnotify.Rename)
		t.lost = t.lost || gone
		return gone
	}
	before, now := t.told[name], t.look(name)
	replaced := op.Has(fsnotify.Create | fsnotify.Remove | fsnotify.Rename)
	switch {
	case before.folder() || now.folder():
		if !replaced && before == now { // some systems tell of a folder whenever something in it changes
			return false
		}
		t.touched = append(t.touched, name)
		return true
	case op == fsnotify.Chmod && before == now: // searched, backed up or read by another program
		return false
	}
	t.changed[name] = struct{}{}
	return false
}

// survey hands every folder of the tree to add, and marks what differs from the last report. Below the touched folders
// it marks everything, for files that look the same may have changed places.
func (t *tree) survey(add func(dir string) error) error {
	before := t.info
	t.real, t.info = "", nil
	if real, err := filepath.EvalSymlinks(t.dir); err == nil {
		t.real = real
		t.info, _ = identify(real) // as in moved
	}
	t.lost = t.lost || !sameFolder(before, t.info)
	w := walk{tree: t, add: add, found: map[string]stamp{}}
	if t.info != nil {
		w.folder(".")
	}
	t.links = w.links
	t.mark("", w.found)
	for _, folder := range t.touched {
		for _, names := range []map[string]stamp{t.told, w.found} {
			for name := range names {
				if below(folder, name) {
					t.changed[name] = struct{}{}
				}
			}
		}
	}
	t.touched = nil
	return errors.Join(w.errs...)
}

// below says whether name is the folder or is in it. Every name is below "".
func below(folder, name string) bool {
	rest, found := strings.CutPrefix(name, folder)
	return found && (folder == "" || rest == "" || rest[0] == '/')
}

// mark marks what differs between the last report and what was found below a folder, and says whether anything does.
func (t *tree) mark(folder string, found map[string]stamp) bool {
	differs := false
	for name, now := range found {
		if t.told[name] != now {
			t.changed[name] = struct{}{}
			differs = true
		}
	}
	for name := range t.told {
		if !found[name].there && below(folder, name) {
			t.changed[name] = struct{}{}
			differs = true
		}
	}
	return differs
}

// lookBehindLinks marks what differs behind the tree's links, and says whether anything does. The events of what a
// link leads to come under its own name or, when it is outside the tree, not at all.
func (t *tree) lookBehindLinks() bool {
	differs := false
	for _, link := range t.links {
		w := walk{tree: t, found: map[string]stamp{}}
		w.entry(link, true)
		differs = t.mark(link, w.found) || differs
	}
	return differs
}

// halfSaved says whether a file to be reported may be half saved: it is gone, or it is empty and was not.
func (t *tree) halfSaved() bool {
	half := t.lost && t.info == nil
	for name := range t.changed {
		before, now := t.told[name], t.look(name)
		half = half || before.there && !now.there || now.empty() && !before.empty()
	}
	return half
}

// commit gives the names to be reported, each after the prefix, and takes them as told.
func (t *tree) commit() []string {
	var names []string
	for name := range t.changed {
		names = append(names, t.prefix+name)
		if now := t.look(name); now.there {
			t.told[name] = now
		} else {
			delete(t.told, name)
		}
	}
	clear(t.changed)
	t.lost = false
	return names
}

// A walk finds what is in a tree.
type walk struct {
	tree  *tree
	add   func(dir string) error // called with each folder; nil to watch none
	found map[string]stamp
	links []string
	errs  []error
}

// folder hands a folder to add, and only then lists it, so that whatever comes later gives an event.
func (w *walk) folder(name string) {
	dir := filepath.Join(w.tree.real, filepath.FromSlash(name))
	if w.add != nil {
		err := w.add(dir)
		if !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, fs.ErrPermission) { // gone by now; closed to the reader too
			w.errs = append(w.errs, err)
		}
	}
	entries, _ := os.ReadDir(dir) // as much as can be read; the reader tells the maker of the rest
	for _, entry := range entries {
		if !unwatched(entry.Name()) {
			w.entry(path.Join(name, entry.Name()), entry.Type()&fs.ModeSymlink != 0)
		}
	}
}

// entry adds a file, or a folder with what is in it. A folder behind a link is followed only where it stands directly
// in the tree, as the reader does it, and is not watched: another name of it may be.
func (w *walk) entry(name string, link bool) {
	now := w.tree.look(name)
	if !now.there {
		return
	}
	w.found[name] = now
	if link {
		w.links = append(w.links, name)
	}
	switch {
	case !now.folder():
	case !link:
		w.folder(name)
	case !strings.Contains(name, "/"):
		behind := walk{tree: w.tree, found: w.found}
		behind.folder(name)
	}
}
