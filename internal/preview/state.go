package preview

import (
	"errors"
	"io/fs"
	"time"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
)

// A State is the handbook at one moment, as it is shown. It does not change; the next moment has a State of its own.
type State struct {
	Number   int                // counts up with each change
	Build    *site.Build        // of the last good text of every file
	Problems []*problem.Problem // all that is wrong at the moment, by file and place
	Theme    error              // what is wrong with the maker's own theme, nil if nothing
	Absent   bool               // the handbook's folder is not there at the moment
	Took     time.Duration      // how long the last change took to be taken

	folder  *folder
	effects map[string]*Effect   // of the last change to each recipe that has been looked at, by slug
	good    map[string]time.Time // when the files that have problems were last taken without one
}

// Page makes a file of the handbook by its path from the top of the output. It says false where there is no such file.
func (s *State) Page(path string) (data []byte, found bool, err error) {
	data, found, err = s.Build.Page(path, s.folder.ReadFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil // a picture that was taken away a moment ago
	}
	return data, found, err
}

// LastGood says when a file that has problems was last taken without one. It says false where it never was, or has none now.
func (s *State) LastGood(file string) (at time.Time, known bool) {
	at, known = s.good[file]
	return at, known
}

// Effect gives what the last change to the recipe at a path did to it, nil where it has not changed since it was first looked at.
func (s *State) Effect(path string) *Effect {
	if r := s.Build.Recipe(path); r != nil {
		return s.effects[r.Slug]
	}
	return nil
}
