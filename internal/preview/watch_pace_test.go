package preview

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var usualPace = pace{quiet: 10 * time.Millisecond, limit: 250 * time.Millisecond, patience: 50 * time.Millisecond, round: 200 * time.Millisecond}

// A scriptedFeed plays the part of the system: it tells what a test has it tell, in a bubble with its own clock.
type scriptedFeed struct {
	mu     sync.Mutex
	events chan fsnotify.Event // of the feed opened last, as the next ones
	errors chan error
	added  []string
	opened int
	refuse error // what to answer instead of watching a folder
}

func (s *scriptedFeed) open() (feed, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.opened++
	s.added = nil
	s.events, s.errors = make(chan fsnotify.Event), make(chan error)
	return feed{events: s.events, errors: s.errors, add: s.add, close: func() error { return nil }}, nil
}

func (s *scriptedFeed) add(dir string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.added = append(s.added, dir)
	return s.refuse
}

func (s *scriptedFeed) refuseWith(err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.refuse = err
}

// now gives a copy of what there is to know.
func (s *scriptedFeed) now() *scriptedFeed {
	s.mu.Lock()
	defer s.mu.Unlock()
	return &scriptedFeed{events: s.events, errors: s.errors, added: slices.Clone(s.added), opened: s.opened}
}

// A toldChange is a change and when it was told, since the start.
type toldChange struct {
	after time.Duration
	Change
}

// playScript runs a watcher over dir while do happens, and gives what it told within two seconds after.
func playScript(t *testing.T, dir string, do func(s *scriptedFeed, tell func(name string, op fsnotify.Op))) []toldChange {
	t.Helper()
	real, err := filepath.EvalSymlinks(dir)
	require.NoError(t, err)
	var tale []toldChange
	synctest.Test(t, func(t *testing.T) {
		s := &scriptedFeed{}
		w, err := newWatcher(s.open, usualPace, dir)
		require.NoError(t, err)
		start := time.Now()
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() {
			ended <- w.Run(ctx, func(c Change) { tale = append(tale, toldChange{time.Since(start), c}) })
		}()
		do(s, func(name string, op fsnotify.Op) {
			s.now().events <- fsnotify.Event{Name: filepath.Join(real, name), Op: op}
		})
		time.Sleep(2 * time.Second)
		stop()
		require.NoError(t, <-ended)
	})
	return tale
}

func TestWatcherPace(t *testing.T) {
	t.Parallel()
	const ms = time.Millisecond
	rose := Change{Files: []string{"recipes/rose.md"}}
	tests := []struct {
		name string
		do   func(t *testing.T, dir string, tell func(string, fsnotify.Op))
		want []toldChange
	}{
		{"one event", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{10 * ms, rose}}},
		{"two close together", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/rose.md", fsnotify.Write)
			time.Sleep(9 * ms)
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{19 * ms, rose}}},
		{"two apart", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/rose.md", fsnotify.Write)
			time.Sleep(11 * ms)
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{10 * ms, rose}, {21 * ms, rose}}},
		{"without a pause", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			for range 60 {
				tell("recipes/rose.md", fsnotify.Write)
				time.Sleep(5 * ms)
			}
		}, []toldChange{{250 * ms, rose}, {305 * ms, rose}}},
		{"emptied for good", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			writeFile(t, "", dir, "recipes/rose.md")
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{60 * ms, rose}}},
		{"emptied, then filled", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			writeFile(t, "", dir, "recipes/rose.md")
			tell("recipes/rose.md", fsnotify.Write)
			time.Sleep(40 * ms)
			writeFile(t, "full", dir, "recipes/rose.md")
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{50 * ms, rose}}},
		{"emptied, then filled too late", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			writeFile(t, "", dir, "recipes/rose.md")
			tell("recipes/rose.md", fsnotify.Write)
			time.Sleep(61 * ms)
			writeFile(t, "full", dir, "recipes/rose.md")
			tell("recipes/rose.md", fsnotify.Write)
		}, []toldChange{{60 * ms, rose}, {71 * ms, rose}}},
		{"empty before and after", func(t *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/empty.md", fsnotify.Write)
		}, []toldChange{{10 * ms, Change{Files: []string{"recipes/empty.md"}}}}},
		{"gone for good", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			require.NoError(t, os.Remove(filepath.Join(dir, "recipes/rose.md")))
			tell("recipes/rose.md", fsnotify.Remove)
		}, []toldChange{{60 * ms, rose}}},
		{"gone, and a folder made later", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			require.NoError(t, os.Remove(filepath.Join(dir, "recipes/rose.md")))
			tell("recipes/rose.md", fsnotify.Remove)
			time.Sleep(100 * ms)
			require.NoError(t, os.Mkdir(filepath.Join(dir, "notes"), 0o755))
			tell("notes", fsnotify.Create)
		}, []toldChange{{60 * ms, rose}, {110 * ms, Change{Files: []string{"notes"}}}}},
		{"empty at the limit", func(t *testing.T, dir string, tell func(string, fsnotify.Op)) {
			writeFile(t, "", dir, "recipes/rose.md")
			for range 100 {
				tell("recipes/soap/oat.md", fsnotify.Write)
				tell("recipes/rose.md", fsnotify.Write)
				time.Sleep(5 * ms)
			}
		}, []toldChange{
			{300 * ms, Change{Files: []string{"recipes/rose.md", "recipes/soap/oat.md"}}},
			{505 * ms, Change{Files: []string{"recipes/rose.md", "recipes/soap/oat.md"}}},
		}},
		{"came and went", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/4913", fsnotify.Create)
			tell("recipes/4913", fsnotify.Remove)
		}, []toldChange{{10 * ms, Change{Files: []string{"recipes/4913"}}}}},
		{"hidden", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes/.rose.md.swp", fsnotify.Create)
			tell("recipes/_old/rose.md", fsnotify.Write)
			tell("../elsewhere.md", fsnotify.Write)
		}, nil},
		{"told of a folder when a file in it changes", func(_ *testing.T, _ string, tell func(string, fsnotify.Op)) {
			tell("recipes", fsnotify.Write)
			tell(".", fsnotify.Write)
			tell("recipes/rose.md", fsnotify.Chmod)
		}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			dir := handbookFolder(t)
			writeFile(t, "", dir, "recipes/empty.md")
			tale := playScript(t, dir, func(_ *scriptedFeed, tell func(string, fsnotify.Op)) { tt.do(t, dir, tell) })
			assert.Equal(t, tt.want, tale)
		})
	}
}

func TestWatcherAfterLostEvents(t *testing.T) {
	t.Parallel()
	for _, cause := range []error{fsnotify.ErrEventOverflow, errors.New("read: input/output error")} {
		t.Run(cause.Error(), func(t *testing.T) {
			t.Parallel()
			dir := handbookFolder(t)
			tale := playScript(t, dir, func(s *scriptedFeed, tell func(string, fsnotify.Op)) {
				tell("recipes/rose.md", fsnotify.Write)
				writeFile(t, "unseen", dir, "notes/new/unseen.md")
				s.now().errors <- cause
				time.Sleep(time.Second)
				assert.Equal(t, 2, s.now().opened)
				assert.Contains(t, s.now().added, filepath.Join(realFolder(t, dir), "notes", "new"))
				tell("notes/new/unseen.md", fsnotify.Write)
			})
			assert.Equal(t, []toldChange{
				{10 * time.Millisecond, Change{All: true}},
				{1010 * time.Millisecond, Change{Files: []string{"notes/new/unseen.md"}}},
			}, tale)
		})
	}
}

func realFolder(t *testing.T, dir string) string {
	t.Helper()
	real, err := filepath.EvalSymlinks(dir)
	require.NoError(t, err)
	return real
}

func TestWatcherAfterAClosedFeed(t *testing.T) {
	t.Parallel()
	tale := playScript(t, handbookFolder(t), func(s *scriptedFeed, tell func(string, fsnotify.Op)) {
		close(s.now().errors)
		close(s.now().events)
		time.Sleep(time.Second)
		tell("recipes/rose.md", fsnotify.Write)
	})
	assert.Equal(t, []toldChange{
		{10 * time.Millisecond, Change{All: true}},
		{1010 * time.Millisecond, Change{Files: []string{"recipes/rose.md"}}},
	}, tale)
}

// Where the system lets no more folders be watched, they are looked through each round.
func TestWatcherAtTheSystemsLimit(t *testing.T) {
	t.Parallel()
	dir := handbookFolder(t)
	tale := playScript(t, dir, func(s *scriptedFeed, tell func(string, fsnotify.Op)) {
		s.refuseWith(syscall.ENOSPC)
		writeFile(t, "new", dir, "notes/new.md")
		tell("notes", fsnotify.Create)
		time.Sleep(time.Second)
		writeFile(t, "without an event", dir, "recipes/rose.md")
		time.Sleep(time.Second)
		s.refuseWith(nil)
		time.Sleep(time.Second)
		opened := s.now().opened
		time.Sleep(time.Second)
		assert.Equal(t, opened, s.now().opened, "no more rounds once all is watched")
	})
	require.Len(t, tale, 2)
	assert.Equal(t, Change{Files: []string{"notes", "notes/new.md"}}, tale[0].Change)
	assert.Equal(t, Change{Files: []string{"recipes/rose.md"}}, tale[1].Change)
	assert.LessOrEqual(t, tale[1].after, 1210*time.Millisecond)
}

func TestNewWatcherAtTheSystemsLimit(t *testing.T) {
	t.Parallel()
	s := &scriptedFeed{refuse: syscall.ENOSPC}
	_, err := newWatcher(s.open, usualPace, handbookFolder(t))
	assert.ErrorContains(t, err, "the system's limit of watched folders")
	_, err = newWatcher(func() (feed, error) { return feed{}, syscall.EMFILE }, usualPace, handbookFolder(t))
	assert.ErrorContains(t, err, "open files")
}
