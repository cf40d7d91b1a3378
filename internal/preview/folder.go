package preview

import (
	"io/fs"
	"os"
	"sync"
)

// A folder is the handbook's folder, which may be exchanged for another of its name. Nothing outside it is read through it.
type folder struct {
	dir string

	mu   sync.RWMutex
	root *os.Root
}

func openFolder(dir string) (*folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &folder{dir: dir, root: root}, nil
}

// reopen opens the folder that has the name now. Where there is none, the old one stays.
func (f *folder) reopen() error {
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	old := f.root
	f.root = root
	return old.Close()
}

// Open opens a file of the folder.
func (f *folder) Open(name string) (fs.File, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.root.FS().Open(name)
}

// ReadDir lists a folder within it.
func (f *folder) ReadDir(name string) ([]fs.DirEntry, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return fs.ReadDir(f.root.FS(), name)
}

// ReadFile reads a file whole.
func (f *folder) ReadFile(name string) ([]byte, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.root.ReadFile(name)
}

// Stat tells of a file.
func (f *folder) Stat(name string) (fs.FileInfo, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.root.Stat(name)
}

// Lstat tells of a file, of a link as such.
func (f *folder) Lstat(name string) (fs.FileInfo, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.root.Lstat(name)
}

// ReadLink gives where a link leads.
func (f *folder) ReadLink(name string) (string, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	return f.root.Readlink(name)
}

// Close lets go of the folder.
func (f *folder) Close() error { return f.root.Close() }

// isThere says whether the folder is there under its name.
func (f *folder) isThere() bool {
	info, err := os.Stat(f.dir)
	return err == nil && info.IsDir()
}
