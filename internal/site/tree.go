package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
)

// Nothing in an output folder changes while pages are drawn: what is new or different is written into a scratch folder, in the same folders
// as it will have. [Tree.Finish] renames it into place, folders that were not there yet as a whole. So a build that fails leaves
// the folder as it was, and one that is killed leaves every file whole. A file's bytes, not its time stamp, say whether it is as it was.

// scratchFolder holds files while a build is under way.
const scratchFolder = ".stillroom-writing"

// scratchPages has each file that will be put in place, under the path that it will have.
const scratchPages = scratchFolder + "/pages"

// A Tree is an output folder. It writes only files whose content changed, each whole or not at all, and never touches a file
// that the tool did not write. One build at a time has the folder.
type Tree struct {
	name    string
	edition Edition
	root    *os.Root // through it goes all that changes the folder, so that no link leads out of it
	lock    *treeLock
	made    bool // the folder was made for this build

	listed   bool                // a build was finished here before
	finished map[string]digest   // what it wrote
	killed   map[string][]digest // what builds that were killed since may have put in place

	claimed map[string]bool // what this build writes: whether a plain file is there already
	folders map[string]bool // the folders for it: whether they are there already
	giveWay []string        // files of earlier builds where there must be folders

	scratch func() error // makes the scratch folder, once
	inside  sync.Map     // the folders made in it

	mutex   sync.Mutex
	written map[string]digest // what this build wrote or kept
	changed []string          // of this, what lies in the scratch folder
}

// A ForeignError names files in the output folder that are not the tool's and stand where it would write.
type ForeignError struct {
	Folder string
	Files  []string
}

// Error names the files and says what to do.
func (e *ForeignError) Error() string {
	const shown = 10
	list, more := e.Files, ""
	if len(list) > shown {
		list, more = list[:shown], fmt.Sprintf(" and %d more", len(e.Files)-shown)
	}
	return fmt.Sprintf("the output folder %s has files that this tool did not write, where it would write its own: %s%s; "+
		"nothing was written; move them away, or choose another folder with --to", e.Folder, strings.Join(list, ", "), more)
}

// OpenTree opens an output folder for an edition, making it where there is none. A folder that holds another edition is refused, lest the
// maker's pages get in among those for everyone. While another build has the folder, the error is a [*BusyError].
func OpenTree(dir string, edition Edition) (*Tree, error) {
	_, err := os.Stat(dir)
	made := errors.Is(err, fs.ErrNotExist)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("make the output folder: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("open the output folder: %w", err)
	}
	t := &Tree{
		name: dir, edition: edition, root: root, made: made,
		finished: map[string]digest{}, killed: map[string][]digest{}, written: map[string]digest{},
	}
	t.scratch = sync.OnceValue(t.makeScratch)
	if t.lock, err = lockTree(dir); err != nil {
		return nil, errors.Join(err, root.Close())
	}
	if err := errors.Join(t.readManifest(), t.readJournal()); err != nil {
		return nil, errors.Join(err, t.Close())
	}
	return t, nil
}

// Close lets go of the folder. What was written without [Tree.Finish] is dropped, and the folder is as it was.
func (t *Tree) Close() error {
	if t.lock == nil { // finished
		return t.root.Close()
	}
	err := t.root.RemoveAll(scratchPages)
	_ = t.root.Remove(scratchFolder) // not where there is a journal in it
	err = errors.Join(err, t.release(), t.root.Close())
	if t.made {
		_ = os.Remove(t.name) // not where something is in it
	}
	return err
}

// release lets other builds have the folder.
func (t *Tree) release() error {
	lock := t.lock
	t.lock = nil
	return lock.release()
}

// Write has a file put in place by [Tree.Finish], unless it has the same bytes already. It is safe for use by several goroutines, after
// [Tree.Claim].
func (t *Tree) Write(file string, data []byte) error {
	there, claimed := t.claimed[file]
	if !claimed {
		return fmt.Errorf("internal error: %s is written and was not claimed", file)
	}
	hash := digestOf(data)
	if there && t.mayHave(file, hash) && holds(t.path(file), data) {
		t.note(file, hash, false)
		return nil
	}
	if err := t.writeScratch(file, data); err != nil {
		return t.unchanged(err)
	}
	t.note(file, hash, true)
	return nil
}

// Keep says whether a file is still, byte for byte, what the last finished build wrote. It is part of this build then, as if it had been
// written anew. It is safe for use by several goroutines, after [Tree.Claim].
func (t *Tree) Keep(file string) (bool, error) {
	there, claimed := t.claimed[file]
	if !claimed {
		return false, fmt.Errorf("internal error: %s is kept and was not claimed", file)
	}
	hash, ours := t.finished[file]
	if !there || !ours {
		return false, nil
	}
	if now, err := digestOfFile(t.path(file)); err != nil || now != hash {
		return false, nil // what cannot be read is written anew
	}
	t.note(file, hash, false)
	return true, nil
}

// mayHave says whether the tool ever wrote those bytes at that place, so that it is worth reading what is there.
func (t *Tree) mayHave(file string, hash digest) bool {
	if was, ours := t.finished[file]; ours && was == hash {
		return true
	}
	for _, was := range t.killed[file] {
		if was == hash {
			return true
		}
	}
	return false
}

// note counts a file to this build.
func (t *Tree) note(file string, hash digest, changed bool) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	t.written[file] = hash
	if changed {
		t.changed = append(t.changed, file)
	}
}

// path is where a file of the output is, for reading. Reading does not go through root, which takes half as long again: what a link
// that someone puts there meanwhile leads to is compared, and no more.
func (t *Tree) path(file string) string {
	return t.name + string(filepath.Separator) + filepath.FromSlash(file)
}

// makeScratch makes the scratch folder, without what a killed build left in it.
func (t *Tree) makeScratch() error {
	return errors.Join(t.root.RemoveAll(scratchPages), t.root.MkdirAll(scratchPages, 0o755))
}

// writeScratch writes a file into the scratch folder. That was made by [Tree.makeScratch] and has no links, so that here, too, nothing needs to
// go through root.
func (t *Tree) writeScratch(file string, data []byte) error {
	err := t.scratch()
	if err == nil {
		err = t.makeInside(path.Dir(file))
	}
	if err == nil {
		err = os.WriteFile(t.path(scratchPages+"/"+file), data, 0o644)
	}
	return err
}

// makeInside makes a folder in the scratch folder.
func (t *Tree) makeInside(dir string) error {
	if _, made := t.inside.Load(dir); made || dir == "." {
		return nil
	}
	if err := t.makeInside(path.Dir(dir)); err != nil {
		return err
	}
	if err := os.Mkdir(t.path(scratchPages+"/"+dir), 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	t.inside.Store(dir, true)
	return nil
}

// reason gives the system's reason alone, without the path in the scratch folder that it was about.
func reason(err error) error {
	if e, is := errors.AsType[*fs.PathError](err); is {
		return e.Err
	}
	if e, is := errors.AsType[*os.LinkError](err); is {
		return e.Err
	}
	return err
}
