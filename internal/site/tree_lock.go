package site

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"
)

// lockFile is there while a build has the folder. It is the system's lock on it that counts, which a killed process does not leave behind.
const lockFile = ".stillroom.lock"

// A BusyError says that another build has the output folder.
type BusyError struct{ Folder string }

// Error says so, and what to do.
func (e *BusyError) Error() string {
	return fmt.Sprintf("another stillroom is publishing into %s: wait until it is done, or choose another folder with --to", e.Folder)
}

// A treeLock is what keeps a second build out of an output folder.
type treeLock struct {
	name string
	held *flock.Flock // nil where the file system knows no locks
}

// lockTree takes the lock, or gives a [*BusyError].
func lockTree(dir string) (*treeLock, error) {
	l := &treeLock{filepath.Join(dir, lockFile), nil}
	held := flock.New(l.name, flock.SetPermissions(0o644))
	locked, err := held.TryLock()
	switch {
	case errors.Is(err, errors.ErrUnsupported):
		return l, held.Close()
	case err != nil:
		return nil, fmt.Errorf("write into the output folder %s: %w; see that it may be written to, or choose another with --to", dir, reason(err))
	case !locked:
		return nil, &BusyError{dir}
	}
	l.held = held
	if !l.stands() { // it was taken away by the build before, which has just ended
		_ = held.Close() // it is nobody's
		return nil, &BusyError{dir}
	}
	return l, nil
}

// stands says whether the file that is locked is the one that others would lock. It is not where it was taken away.
func (l *treeLock) stands() bool {
	mine, err1 := l.held.Stat()
	now, err2 := os.Lstat(l.name)
	return errors.Join(err1, err2) == nil && os.SameFile(mine, now)
}

// release gives the lock back. The file is taken away while it is still locked, lest it be another's by then; a system that does not
// let open files be taken away does it after, and does not take away what another has opened. Where somebody took the whole folder away, the
// file that stands there is another's.
func (l *treeLock) release() error {
	if l.held == nil {
		_ = os.Remove(l.name)
		return nil
	}
	if !l.stands() {
		return l.held.Close()
	}
	first := os.Remove(l.name)
	err := l.held.Close()
	if first != nil {
		_ = os.Remove(l.name) // one that stays is taken by the next build
	}
	return err
}
