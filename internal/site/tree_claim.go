package site

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"

	"larkrow.example/stillroom/internal/parallel"
)

// Claim says which files the build will write, before the first is: all of them, and no others. It changes nothing, and may be asked again. It
// fails with a [*ForeignError] where one of them, or one of the folders that they need, is a file that the tool did not write, and where
// two of them are the same file.
func (t *Tree) Claim(files []string) error {
	if t.hasClaimed(files) {
		return nil
	}
	l := &look{tree: t, folders: map[string]bool{".": true}}
	claimed := make(map[string]bool, len(files))
	infos := make([]os.FileInfo, len(files))
	parallel.Do(len(files), func(i int) { infos[i], _ = os.Lstat(t.path(files[i])) }) // nil where there is nothing
	for i, file := range files {
		if _, twice := claimed[file]; twice {
			return fmt.Errorf("two pages or pictures would be written to %s; nothing was written", file)
		}
		if _, err := filepath.Localize(file); err != nil {
			return fmt.Errorf("%s cannot be the name of a file; nothing was written", file)
		}
		claimed[file] = false
		if !l.folder(path.Dir(file)) {
			continue
		}
		info := infos[i]
		claimed[file] = info != nil && info.Mode().IsRegular()
		if info != nil && (info.IsDir() || !t.isOurs(file)) {
			l.foreign = append(l.foreign, file)
		}
	}
	if len(l.foreign) > 0 {
		slices.Sort(l.foreign)
		return &ForeignError{Folder: t.name, Files: l.foreign}
	}
	t.claimed, t.folders, t.giveWay = claimed, l.folders, l.giveWay
	return nil
}

// hasClaimed says whether just those files have been claimed.
func (t *Tree) hasClaimed(files []string) bool {
	for _, file := range files {
		if _, claimed := t.claimed[file]; !claimed {
			return false
		}
	}
	return t.claimed != nil && len(files) == len(t.claimed)
}

// A look is what was found in an output folder.
type look struct {
	tree    *Tree
	folders map[string]bool // whether they are there
	giveWay []string        // files of ours where there must be folders
	foreign []string        // what is in the way
}

// folder says whether a folder is there. A file of ours that stands in its place gives way to it, if it is as it was written.
func (l *look) folder(dir string) bool {
	if there, known := l.folders[dir]; known {
		return there
	}
	if l.folders[dir] = false; !l.folder(path.Dir(dir)) {
		return false
	}
	info, err := os.Lstat(l.tree.path(dir))
	switch {
	case err != nil:
	case info.IsDir():
		l.folders[dir] = true
	case l.tree.asWritten(dir):
		l.giveWay = append(l.giveWay, dir)
	default:
		l.foreign = append(l.foreign, dir)
	}
	return l.folders[dir]
}

// isOurs says whether what is at some place is the tool's: anything where the last finished build wrote, and else what a killed one wrote,
// which may not have come so far before someone put a file there.
func (t *Tree) isOurs(file string) bool {
	_, ours := t.finished[file]
	return ours || t.asWritten(file)
}

// asWritten says whether a file is one of ours and has not been changed since.
func (t *Tree) asWritten(file string) bool {
	if _, ours := t.finished[file]; !ours && t.killed[file] == nil {
		return false
	}
	info, err := os.Lstat(t.path(file))
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	hash, err := digestOfFile(t.path(file))
	return err == nil && t.mayHave(file, hash)
}

func (t *Tree) exists(file string) bool {
	_, err := os.Lstat(t.path(file))
	return err == nil
}
