package members

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"
)

// Two commands that change the list at once would each lose what the other did. So the first makes a lock file, and the second waits for it to
// go. A command that is killed leaves its lock behind: whoever comes next is told, and it is for a person to say that nobody is at work.

const (
	lockWait  = 5 * time.Second       // how long another's lock is waited for
	lockEvery = 50 * time.Millisecond // how often it is looked for
)

// A LockedError says that another command has been changing the list all the while, or was killed while it did.
type LockedError struct {
	Since time.Time // when the lock was made; zero where that could not be read
}

// Error says since when.
func (e *LockedError) Error() string {
	since := ""
	if !e.Since.IsZero() {
		since = " since " + e.Since.Format("2 January 2006, 15:04:05")
	}
	return "the members' list is being changed by another command" + since
}

// lock makes the lock file, and gives what takes it away again.
func lock(ctx context.Context, root *os.Root) (unlock func() error, err error) {
	for end := time.Now().Add(lockWait); ; {
		f, err := root.OpenFile(LockFile, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err == nil {
			return holdLock(root, f)
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, fmt.Errorf("lock the members' list: %w", err)
		}
		if time.Now().After(end) {
			locked := &LockedError{}
			if info, err := root.Lstat(LockFile); err == nil {
				locked.Since = info.ModTime()
			}
			return nil, locked
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(lockEvery):
		}
	}
}

// holdLock says in the lock file whose it is. The lock is only taken away if it is still the one that was made.
func holdLock(root *os.Root, f *os.File) (func() error, error) {
	_, err := fmt.Fprintf(f, "“stillroom members” is changing the list (process %d)\n", os.Getpid())
	mine, err2 := f.Stat()
	if err := errors.Join(err, err2, f.Close()); err != nil {
		return nil, errors.Join(fmt.Errorf("lock the members' list: %w", err), root.Remove(LockFile))
	}
	return func() error {
		if now, err := root.Lstat(LockFile); err != nil || !os.SameFile(mine, now) {
			return nil
		}
		return root.Remove(LockFile)
	}, nil
}
