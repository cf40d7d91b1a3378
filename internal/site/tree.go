package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
)

// manifestFile lists every file that this tool wrote into an output folder, with the SHA-256 of its bytes.
const manifestFile = ".stillroom.json"

// scratchFolder holds files while they are written; they are then renamed into place.
const scratchFolder = ".stillroom-writing"

// journalFile has a line for each file that a build puts in place, hash and path, written just before: by it the next build
// knows a killed one's files as ours.
const journalFile = scratchFolder + "/journal"

type manifest struct {
	Schema  int               `json:"schema"`
	Edition Edition           `json:"edition"`
	Files   map[string]string `json:"files"`
}

// A Tree is an output folder. It writes only files whose content changed, each whole or not at all, and never touches a file
// that the tool did not write.
type Tree struct {
	name     string
	edition  Edition
	root     *os.Root
	previous map[string][]string // path → hashes that it may have from earlier builds: the finished one's, then the killed ones'
	mutex    sync.Mutex
	written  map[string]string // path → hash, of this build
	changed  int
	journal  *os.File
	scratch  atomic.Int64
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
// maker's pages get in among those for everyone.
func OpenTree(dir string, edition Edition) (*Tree, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("make the output folder: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("open the output folder: %w", err)
	}
	t := &Tree{name: dir, edition: edition, root: root, previous: map[string][]string{}, written: map[string]string{}}
	if err := errors.Join(t.readManifest(), t.readJournal()); err != nil {
		return nil, errors.Join(err, root.Close())
	}
	return t, nil
}

func (t *Tree) readManifest() error {
	raw, err := t.root.ReadFile(manifestFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("read the list of files written: %w", err)
	}
	var m manifest
	if err := json.Unmarshal(raw, &m); err != nil || m.Schema != 1 {
		return fmt.Errorf("the list of files written, %s in %s, cannot be read; restore it, or build into an empty folder", manifestFile, t.name)
	}
	if m.Edition != t.edition {
		return fmt.Errorf("%s holds the edition for %s, not for %s: choose another folder with --to", t.name, m.Edition.Readers(), t.edition.Readers())
	}
	for file, hash := range m.Files {
		if fs.ValidPath(file) {
			t.previous[file] = []string{hash}
		}
	}
	return nil
}

// readJournal adds what a killed build put in place. Its last line may have been cut off: that file was not yet put in place.
func (t *Tree) readJournal() error {
	raw, err := t.root.ReadFile(journalFile)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("read what an interrupted build wrote: %w", err)
	}
	for line := range strings.Lines(string(raw)) {
		hash, file, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		if strings.HasSuffix(line, "\n") && fs.ValidPath(file) {
			t.previous[file] = append(t.previous[file], hash)
		}
	}
	return nil
}

// Look says whether a build could write some files, and changes nothing. It fails with a [*ForeignError] where one of them, or one of
// the folders that they need, is a file that the tool did not write, and where two of them are the same file.
func (t *Tree) Look(files []string) error {
	_, err := t.foldersFor(files)
	return err
}

// Claim says which files the build will write, before the first is. It fails as [Tree.Look] does.
func (t *Tree) Claim(files []string) error {
	folders, err := t.foldersFor(files)
	if err != nil {
		return err
	}
	return t.start(folders)
}

// foldersFor gives the folders that some files need.
func (t *Tree) foldersFor(files []string) (map[string]bool, error) {
	foreign, folders, wanted := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, file := range files {
		if wanted[file] {
			return nil, fmt.Errorf("two pages or pictures would be written to %s; nothing was written", file)
		}
		wanted[file] = true
		for dir := path.Dir(file); dir != "." && !folders[dir]; dir = path.Dir(dir) {
			folders[dir] = true
			foreign[dir] = t.isFile(dir) && !t.asWritten(dir)
		}
		_, ours := t.previous[file]
		foreign[file] = t.exists(file) && !(ours && t.isFile(file))
	}
	maps.DeleteFunc(foreign, func(_ string, is bool) bool { return !is })
	if len(foreign) > 0 {
		return nil, &ForeignError{Folder: t.name, Files: slices.Sorted(maps.Keys(foreign))}
	}
	return folders, nil
}

func (t *Tree) exists(file string) bool {
	_, err := t.root.Lstat(file)
	return err == nil
}

func (t *Tree) isFile(file string) bool {
	info, err := t.root.Lstat(file)
	return err == nil && !info.IsDir()
}

// asWritten says whether a file is one of ours and has not been changed since.
func (t *Tree) asWritten(file string) bool {
	data, err := t.root.ReadFile(file)
	return err == nil && slices.Contains(t.previous[file], hashOf(data))
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// start makes the folder ready: it is marked with its edition, files of earlier builds where a folder must be are taken away, and
// the journal is opened.
func (t *Tree) start(folders map[string]bool) error {
	if !t.exists(manifestFile) {
		if err := t.writeManifest(map[string]string{}); err != nil {
			return err
		}
	}
	for dir := range folders {
		if t.isFile(dir) {
			if err := t.root.Remove(dir); err != nil {
				return fmt.Errorf("remove %s: %w", dir, err)
			}
			delete(t.previous, dir)
		}
	}
	if err := t.root.MkdirAll(scratchFolder, 0o755); err != nil {
		return fmt.Errorf("make a place to write in: %w", err)
	}
	var err error
	t.journal, err = t.root.OpenFile(journalFile, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	return err
}

func (t *Tree) writeManifest(files map[string]string) error {
	raw, err := json.MarshalIndent(manifest{Schema: 1, Edition: t.edition, Files: files}, "", " ")
	if err != nil {
		return err
	}
	raw = append(raw, '\n')
	if old, err := t.root.ReadFile(manifestFile); err == nil && bytes.Equal(old, raw) {
		return nil
	}
	return t.replace(manifestFile, raw)
}

// Write puts a file in place, unless it has the same bytes already. It is safe for use by several goroutines, after [Tree.Claim].
func (t *Tree) Write(file string, data []byte) error {
	hash := hashOf(data)
	old, err := t.root.ReadFile(file)
	changed := err != nil || !bytes.Equal(old, data)
	if err := t.note(file, hash, changed); err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	if !changed {
		return nil
	}
	return t.replace(file, data)
}

// note records a file as written, and in the journal if it is about to be.
func (t *Tree) note(file, hash string, changed bool) error {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	t.written[file] = hash
	if !changed {
		return nil
	}
	t.changed++
	_, err := t.journal.WriteString(hash + " " + file + "\n")
	return err
}

// replace writes a file beside the output and renames it into place.
func (t *Tree) replace(file string, data []byte) error {
	temporary := scratchFolder + "/" + strconv.FormatInt(t.scratch.Add(1), 10)
	err := t.root.MkdirAll(scratchFolder, 0o755)
	if err == nil {
		err = t.root.WriteFile(temporary, data, 0o644)
	}
	if err == nil {
		err = t.root.MkdirAll(path.Dir(file), 0o755)
	}
	if err == nil {
		err = t.root.Rename(temporary, file)
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", file, err)
	}
	return nil
}

// A Tally says what a build did to its output folder.
type Tally struct {
	Files   int      // written or found unchanged
	Changed int      // of these, written
	Removed int      // files of an earlier build that this one no longer has
	Left    []string // files of an earlier build that someone has changed since, and that were left alone
}

// Finish takes away what earlier builds wrote and this one did not, unless it was changed since, and writes the list of files.
func (t *Tree) Finish() (Tally, error) {
	tally := Tally{Files: len(t.written), Changed: t.changed}
	for _, file := range slices.Sorted(maps.Keys(t.previous)) {
		if _, still := t.written[file]; still {
			continue
		}
		removed, err := t.remove(file)
		switch {
		case err != nil:
			return tally, err
		case removed:
			tally.Removed++
		case t.exists(file):
			tally.Left = append(tally.Left, file)
		}
	}
	if err := t.writeManifest(t.written); err != nil {
		return tally, err
	}
	err := t.journal.Close()
	t.journal = nil
	return tally, errors.Join(err, t.root.RemoveAll(scratchFolder))
}

// remove takes a file away if it is as the tool wrote it, and the folders that it leaves empty.
func (t *Tree) remove(file string) (bool, error) {
	if !t.asWritten(file) {
		return false, nil
	}
	if err := t.root.Remove(file); err != nil {
		return false, fmt.Errorf("remove %s: %w", file, err)
	}
	for dir := path.Dir(file); dir != "."; dir = path.Dir(dir) {
		if t.root.Remove(dir) != nil { // not empty
			break
		}
	}
	return true, nil
}

// Close lets go of the folder. After a build that failed, what it wrote so far stays known as ours.
func (t *Tree) Close() error {
	if t.journal == nil {
		return t.root.Close()
	}
	return errors.Join(t.journal.Close(), t.root.Close())
}
