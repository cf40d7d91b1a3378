package preview

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"syscall"
	"time"

	"github.com/fsnotify/fsnotify"
)

// The system tells of single events, in folders only, under names that go out of date when a folder moves, and it may
// lose some. So events only say where to look. What counts is the difference between the files as they were when last
// reported and as they are now (watch_tree.go). When folders come or go, or events were lost, watching begins anew
// with every folder and everything is compared. That takes some 60 ms for 10,000 files (BenchmarkWatcherSurvey) and
// leaves nothing out of date.

// A Change names the files that may differ from before.
type Change struct {
	// Files are slash-separated paths from the handbook's folder, in order, each once. Those of a further folder are
	// "theme:" and the path within it. A folder that came or went is named, and so is every file that was or is below
	// it. A name may also be of something that came and went since: whoever read it meanwhile forgets it, and forgets
	// what was below it.
	Files []string
	// All says that anything may differ: events were lost, or a watched folder itself vanished, came back or was
	// exchanged. Files is empty then.
	All bool
}

// A Watcher finds out which files of a handbook change. Names that begin with "." or "_" are passed over.
type Watcher struct {
	trees []*tree
	open  func() (feed, error)
	feed  feed
	pace  pace

	seen  map[string]fsnotify.Op // what happened to which file or folder since the last look, by its full path
	anew  bool                   // watching must begin anew
	all   bool                   // events were lost
	blind bool                   // not every folder could be watched, so they are looked through at each round

	timer    *time.Timer
	due      time.Time // when to look; zero where nothing happened
	deadline time.Time // when to look although events still come
	waited   bool      // some file seemed half saved, and it was given time
}

// A pace is how long a Watcher waits for what.
type pace struct {
	quiet    time.Duration // after the last event
	limit    time.Duration // after the first event, although more come
	patience time.Duration // more, for a file that is gone or empty: many editors save in two steps
	round    time.Duration // between two rounds of what gives no events
}

// A feed tells of what happens directly inside the folders added to it.
type feed struct {
	events <-chan fsnotify.Event
	errors <-chan error
	add    func(dir string) error
	close  func() error
}

func openFeed() (feed, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return feed{}, err
	}
	return feed{events: w.Events, errors: w.Errors, add: w.Add, close: w.Close}, nil
}

// NewWatcher begins to watch the folder dir, and further ones such as a maker's theme, with every folder below them.
// It is an error when one is not there or the system does not let all of them be watched. What happens after
// NewWatcher is kept for Run, so the handbook is read between the two. Run must follow: it frees what is held here.
func NewWatcher(dir string, extra ...string) (*Watcher, error) {
	return newWatcher(openFeed, pace{
		quiet:    10 * time.Millisecond,
		limit:    250 * time.Millisecond,
		patience: 50 * time.Millisecond,
		round:    200 * time.Millisecond,
	}, dir, extra...)
}

func newWatcher(open func() (feed, error), pace pace, dir string, extra ...string) (*Watcher, error) {
	w := &Watcher{open: open, pace: pace, seen: map[string]fsnotify.Op{}}
	for i, name := range append([]string{dir}, extra...) {
		t, err := newTree(name)
		if err != nil {
			return nil, fmt.Errorf("watch %s: %w", name, err)
		}
		if i > 0 {
			t.prefix = "theme:"
		}
		w.trees = append(w.trees, t)
	}
	if err := w.restart(); err != nil {
		_ = w.close() // the first error says more
		return nil, fmt.Errorf("watch %s: %w", dir, err)
	}
	for _, t := range w.trees {
		t.commit()
	}
	return w, nil
}

// Run calls take with each change, one call at a time, until ctx ends, and stops watching then. What happens during a
// call is kept for the next one. A change comes when nothing more has happened for 10 ms, and not later than 250 ms
// after it began; where a file is gone or empty, and so may be half saved, 50 ms are added.
func (w *Watcher) Run(ctx context.Context, take func(Change)) error {
	w.timer = time.NewTimer(time.Hour)
	defer w.timer.Stop()
	rounds := time.NewTicker(w.pace.round)
	defer rounds.Stop()
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
		case event, open := <-w.feed.events:
			if open {
				w.note(event)
			} else {
				w.lose()
			}
		case <-w.feed.errors:
			w.lose()
		case <-rounds.C:
			w.round()
		case <-w.timer.C:
			if change, settled := w.settle(); settled {
				take(change)
			}
		}
	}
	return w.close()
}

func (w *Watcher) close() error {
	if w.feed.close == nil {
		return nil
	}
	return w.feed.close()
}

// note keeps an event for the next look.
func (w *Watcher) note(event fsnotify.Event) {
	for _, t := range w.trees {
		if _, inside := t.within(event.Name); inside {
			w.seen[event.Name] |= event.Op
			w.stir()
			return
		}
	}
}

// lose gives up the feed after an error: it may have lost events, so whatever else it would tell is of no use.
func (w *Watcher) lose() {
	w.feed.events, w.feed.errors = nil, nil
	w.anew, w.all = true, true
	w.stir()
}

// round looks after what gives no events: watched folders that vanish or come back, and files behind links.
func (w *Watcher) round() {
	stirred := w.blind
	w.anew = w.anew || w.blind
	for _, t := range w.trees {
		if t.moved() {
			w.anew, stirred = true, true
		}
		stirred = t.lookBehindLinks() || stirred
	}
	if stirred {
		w.stir()
	}
}

// stir puts the next look off until it has been quiet for a while.
func (w *Watcher) stir() {
	now := time.Now()
	if w.due.IsZero() {
		w.deadline = now.Add(w.pace.limit)
	}
	w.lookAt(now.Add(w.pace.quiet))
}

func (w *Watcher) lookAt(due time.Time) {
	if due.After(w.deadline) {
		due = w.deadline
	}
	w.due = due
	w.timer.Reset(time.Until(due))
}

// settle looks at what changed since the last report. It says false where there is nothing to report, or not yet.
func (w *Watcher) settle() (Change, bool) {
	w.gather()
	half := false
	for _, t := range w.trees {
		half = t.halfSaved() || half
	}
	if half && w.wait() {
		return Change{}, false
	}
	change := Change{All: w.all}
	for _, t := range w.trees {
		change.All = change.All || t.lost
		change.Files = append(change.Files, t.commit()...)
	}
	w.all, w.waited, w.due = false, false, time.Time{}
	if change.All {
		return Change{All: true}, true
	}
	slices.Sort(change.Files)
	return change, len(change.Files) > 0
}

// wait gives a half saved file time, once for each change, and says whether there is some left.
func (w *Watcher) wait() bool {
	now := time.Now()
	if !w.waited {
		w.waited = true
		w.deadline = now.Add(w.pace.patience)
	}
	if !now.Before(w.deadline) {
		return false
	}
	w.lookAt(w.deadline)
	return true
}

// gather makes names of events, and begins to watch anew where folders came or went.
func (w *Watcher) gather() {
	for file, op := range w.seen {
		for _, t := range w.trees {
			if name, inside := t.within(file); inside {
				w.anew = t.note(name, op) || w.anew
			}
		}
	}
	clear(w.seen)
	if w.anew {
		w.anew = false
		w.blind = w.restart() != nil // the folders are still looked through, if less often
	}
}

// restart watches every folder with a new feed, and has each tree find out what is different.
func (w *Watcher) restart() error {
	_ = w.close() // an old feed that does not close well is none the less done with
	next, err := w.open()
	w.feed = next
	if err != nil {
		w.feed = feed{add: func(string) error { return err }}
	}
	errs := []error{}
	for _, t := range w.trees {
		errs = append(errs, t.survey(w.feed.add))
	}
	err = errors.Join(errs...)
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EMFILE) {
		return fmt.Errorf("the system's limit of watched folders or open files is reached: %w", err)
	}
	return err
}
