package site

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"

	"larkrow.example/stillroom/internal/parallel"
)

// A Tally says what a build did to its output folder.
type Tally struct {
	Files   int      // written or found unchanged
	Changed int      // of these, written
	Removed int      // files of an earlier build that this one no longer has
	Left    []string // files of an earlier build that someone has changed since, and that were left alone
	Kept    int      // of the files, those that were not made again, since they rest on the same as before
}

// Finish puts what was written in place, takes away what earlier builds wrote and this one did not, unless it was changed since, and
// last the list of files. All bytes are on the disk before the first change, so that none of it can run out of room half-way.
func (t *Tree) Finish() (Tally, error) {
	tally := Tally{Files: len(t.written), Changed: len(t.changed)}
	relist := !t.listed || !maps.Equal(t.written, t.finished)
	if err := t.complete(); err != nil {
		return tally, err
	}
	if err := t.prepare(relist); err != nil {
		return tally, fmt.Errorf("the list of files %w", t.unchanged(err))
	}
	if err := t.place(); err != nil {
		return tally, err
	}
	var err error
	if tally.Removed, tally.Left, err = t.sweep(); err != nil {
		return tally, err
	}
	if relist {
		err = t.putInPlace(manifestFile)
	}
	return tally, errors.Join(err, t.root.RemoveAll(scratchFolder), t.release())
}

// complete fails where a claimed file was neither written nor kept: without it, its page would be taken away.
func (t *Tree) complete() error {
	if len(t.written) == len(t.claimed) {
		return nil
	}
	for _, file := range slices.Sorted(maps.Keys(t.claimed)) {
		if _, written := t.written[file]; !written {
			return fmt.Errorf("internal error: %s was claimed and not written", file)
		}
	}
	return nil
}

// prepare writes the journal, and the list of files that is put in place at the end.
func (t *Tree) prepare(relist bool) error {
	if relist {
		raw, err := t.marshalManifest(t.written)
		if err == nil {
			err = t.writeScratch(manifestFile, raw)
		}
		if err != nil {
			return err
		}
	}
	if len(t.changed) == 0 {
		return nil
	}
	if err := t.writeScratch(journalFile, t.marshalJournal()); err != nil {
		return err
	}
	return t.root.Rename(scratchPages+"/"+journalFile, journalFile)
}

// place puts everything in place that lies in the scratch folder.
func (t *Tree) place() error {
	for _, file := range t.giveWay {
		if err := t.root.Remove(file); err != nil {
			return t.halfway(file, err)
		}
		delete(t.finished, file)
		delete(t.killed, file)
	}
	pieces := t.pieces()
	tops := slices.Sorted(maps.Keys(pieces))
	errs := make([]error, len(tops))
	parallel.Do(len(tops), func(i int) { errs[i] = t.placePiece(tops[i], pieces[tops[i]]) })
	return cmp.Or(errs...)
}

// pieces gives what is put in place at a time: a file, or a folder that is not there yet, and the files that come with it.
func (t *Tree) pieces() map[string][]string {
	all := make(map[string][]string)
	for _, file := range t.changed {
		top := t.topOf(file)
		all[top] = append(all[top], file)
	}
	return all
}

// topOf gives the topmost folder of a file that was not there when it was claimed, or the file.
func (t *Tree) topOf(file string) string {
	top := file
	for dir := path.Dir(file); !t.folders[dir]; dir = path.Dir(dir) {
		top = dir
	}
	return top
}

// placePiece puts a folder in place as a whole, if it can be, or file by file.
func (t *Tree) placePiece(top string, files []string) error {
	folder := files[0] != top
	if folder && t.putInPlace(top) == nil {
		return nil
	}
	// So also where somebody has made the folder meanwhile, or has a file in it open on a system that does not rename it then.
	for _, file := range files {
		if folder {
			if err := t.root.MkdirAll(path.Dir(file), 0o755); err != nil {
				return t.halfway(file, err)
			}
		}
		if !t.isOurs(file) && t.exists(file) {
			return t.halfway(file, errors.New("a file that this tool did not write has come to stand there"))
		}
		if err := t.putInPlace(file); err != nil {
			return t.halfway(file, err)
		}
	}
	return nil
}

func (t *Tree) putInPlace(name string) error { return t.root.Rename(scratchPages+"/"+name, name) }

// sweep takes away what is no longer part of the build, with the folders that it leaves empty, and tells what was changed since and stays.
func (t *Tree) sweep() (removed int, left []string, err error) {
	gone := make(map[string]bool)
	for _, file := range slices.AppendSeq(slices.Collect(maps.Keys(t.finished)), maps.Keys(t.killed)) {
		if _, still := t.written[file]; !still {
			gone[file] = true
		}
	}
	for _, file := range slices.Sorted(maps.Keys(gone)) {
		switch {
		case t.asWritten(file):
			if err := t.root.Remove(file); err != nil {
				return removed, left, t.halfway(file, err)
			}
			removed++
			for dir := path.Dir(file); dir != "." && t.root.Remove(dir) == nil; dir = path.Dir(dir) { // until one is not empty
			}
		case t.isOurs(file) && t.exists(file):
			left = append(left, file)
		}
	}
	return removed, left, nil
}

// unchanged says why a file cannot be written, while nothing has changed yet, and what to do. Whoever wants it written knows its name.
func (t *Tree) unchanged(err error) error {
	return fmt.Errorf("cannot be written: %w; everything in %s is as it was: see that there is room and that it may be written to, and publish again", reason(err), t.name)
}

// halfway says that a file cannot be put in place or taken away, and what to do.
func (t *Tree) halfway(file string, err error) error {
	return fmt.Errorf("%s cannot be put in place: %w; every file in %s is whole, but not all are new ones yet: see that it may be written to, and publish again", file, reason(err), t.name)
}
