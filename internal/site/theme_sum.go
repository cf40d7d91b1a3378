package site

import (
	"io/fs"
	"strings"
)

// Sum gives the sum of a maker's own theme: of its files' names and bytes. The default theme is part of the program.
func (t *Theme) Sum() Sum { return t.own }

func sumOfTheme(own fs.FS) (Sum, error) {
	b := newBasis()
	if own == nil {
		return b.sum(), nil
	}
	err := fs.WalkDir(own, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != "." && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		case d.IsDir():
			return nil
		}
		data, err := fs.ReadFile(own, name)
		b.add(name, string(data))
		return err
	})
	return b.sum(), err
}
