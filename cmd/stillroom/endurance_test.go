package main

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/synthetic"
)

// The endurance of publish, with real processes. The long form is
//
//	go test ./cmd/stillroom -run Endures -kills 100 -rounds 20 -recipes 60
var (
	kills   = flag.Int("kills", 10, "how often publish is killed")
	rounds  = flag.Int("rounds", 2, "how often two publish at once, and how often files change meanwhile")
	recipes = flag.Int("recipes", 16, "how many recipes the handbooks of the endurance tests have")
)

// A workbench has a handbook that is now in one state, now in the other, and the folder that it is published into.
type workbench struct {
	dir, out string
	env      []string
	states   [2]map[string][]byte
	clean    [2]map[string]string // what is published of each, into a new folder
	took     time.Duration        // by the slower of these
}

// newWorkbench writes a handbook, and publishes both its states. In the other one, every page differs by its heading and some recipes are gone.
func newWorkbench(t *testing.T) *workbench {
	t.Helper()
	w := &workbench{dir: filepath.Join(t.TempDir(), "handbook"), out: filepath.Join(t.TempDir(), "public")}
	cache := t.TempDir() // what one run leaves for the next
	w.env = append(os.Environ(), "XDG_CACHE_HOME="+cache, "HOME="+cache, "LocalAppData="+cache)
	for i, size := range []int{*recipes, *recipes * 3 / 4} {
		w.states[i] = make(map[string][]byte)
		for name, data := range synthetic.Files(synthetic.Size{Recipes: size, Seed: 1}) {
			w.states[i][name] = data
		}
	}
	settings := w.states[1]["handbook.yaml"]
	w.states[1]["handbook.yaml"] = bytes.Replace(settings, []byte("title: The long stillroom"), []byte("title: The other stillroom"), 1)
	require.NotEqual(t, settings, w.states[1]["handbook.yaml"])
	for i := range w.states {
		w.become(t, i)
		to, start := filepath.Join(t.TempDir(), "clean"), time.Now()
		w.publish(t, to)
		w.took = max(w.took, time.Since(start))
		w.clean[i] = readFolder(t, to)
	}
	return w
}

// become gives the handbook a state.
func (w *workbench) become(t *testing.T, state int) {
	t.Helper()
	for name, data := range w.states[state] {
		file := filepath.Join(w.dir, filepath.FromSlash(name))
		if now, err := os.ReadFile(file); err == nil && bytes.Equal(now, data) {
			continue
		}
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, data, 0o644))
	}
	for name := range readFolder(t, w.dir) {
		if _, has := w.states[state][name]; !has {
			require.NoError(t, os.Remove(filepath.Join(w.dir, filepath.FromSlash(name))))
		}
	}
}

// A process publishes the handbook.
type process struct {
	*exec.Cmd
	said  bytes.Buffer
	ended chan struct{}
	err   error // of its end
}

// start begins to publish into a folder.
func (w *workbench) start(t *testing.T, to string) *process {
	t.Helper()
	r := &process{Cmd: exec.Command("stillroom", "publish", w.dir, "--to", to), ended: make(chan struct{})}
	r.Env, r.Stderr = w.env, &r.said
	require.NoError(t, r.Start())
	go func() {
		r.err = r.Wait()
		close(r.ended)
	}()
	return r
}

// end waits for the end and gives the exit code. A run never ends in a fault of the program.
func (r *process) end(t *testing.T) int {
	t.Helper()
	<-r.ended
	if _, exit := errors.AsType[*exec.ExitError](r.err); !exit {
		require.NoError(t, r.err)
	}
	for _, fault := range []string{"internal error", "panic", "goroutine ", "DATA RACE"} {
		require.NotContains(t, r.said.String(), fault)
	}
	return r.ProcessState.ExitCode()
}

// until waits until something is so, or the run has ended.
func (r *process) until(is func() bool) {
	for !is() {
		select {
		case <-r.ended:
			return
		case <-time.After(100 * time.Microsecond):
		}
	}
}

// kill kills it, if it has not ended.
func (r *process) kill(t *testing.T) {
	t.Helper()
	if err := r.Process.Kill(); !errors.Is(err, os.ErrProcessDone) {
		require.NoError(t, err)
	}
	<-r.ended
}

// publish publishes the handbook into a folder, which must go well.
func (w *workbench) publish(t *testing.T, to string) {
	t.Helper()
	r := w.start(t, to)
	require.Zero(t, r.end(t), r.said.String())
}

// mustBe wants the output folder to be what is published of a state into a new one, with nothing beside it.
func (w *workbench) mustBe(t *testing.T, state int) {
	t.Helper()
	require.Empty(t, differing(w.clean[state], readFolder(t, w.out)))
	require.NoDirExists(t, filepath.Join(w.out, scratch))
}

// scratch is the folder in the output folder that files are written in.
const scratch = ".stillroom-writing"

// mustBeWhole wants every page in the output folder to be that of one state or the other, byte for byte, and none to be missing that both have. It
// says whether there are some of each.
func (w *workbench) mustBeWhole(t *testing.T) (mixed bool) {
	t.Helper()
	var of [2]bool
	now := readFolder(t, w.out)
	for name, text := range now {
		if strings.HasPrefix(name, scratch+"/") || name == ".stillroom.lock" {
			continue
		}
		first, in0 := w.clean[0][name]
		second, in1 := w.clean[1][name]
		is0, is1 := in0 && text == first, in1 && text == second
		require.True(t, is0 || is1, "%s is neither the old file nor the new one", name)
		of[0], of[1] = of[0] || is0 && !is1, of[1] || is1 && !is0
	}
	for name := range w.clean[0] {
		if _, both := w.clean[1][name]; both {
			require.Contains(t, now, name)
		}
	}
	return of[0] && of[1]
}

// readFolder reads a folder: path → content.
func readFolder(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		files[name] = string(raw)
		return err
	}))
	return files
}

// stat tells of a file in the output folder; nil where there is none.
func (w *workbench) stat(name string) os.FileInfo {
	info, _ := os.Lstat(filepath.Join(w.out, filepath.FromSlash(name)))
	return info
}

// Killed at any moment, publish leaves every page whole, and the next run puts all right. Half of the moments are drawn from the whole run, the others
// from the time in which pages are put in place.
func TestPublishEnduresKilling(t *testing.T) {
	t.Parallel()
	w := newWorkbench(t)
	w.become(t, 0)
	w.publish(t, w.out)
	dice, mixed, healed := rand.New(rand.NewPCG(1, 1)), 0, 0
	for n := range *kills {
		state := (n + 1) % 2
		w.become(t, state)
		journal := scratch + "/journal"
		left := w.stat(journal) // by one that was killed before
		r := w.start(t, w.out)
		if n%2 == 0 {
			time.Sleep(time.Duration(dice.Int64N(int64(w.took))))
		} else {
			r.until(func() bool { now := w.stat(journal); return now != nil && !os.SameFile(now, left) })
			time.Sleep(time.Duration(dice.IntN(2000)) * time.Microsecond)
		}
		r.kill(t)
		if w.mustBeWhole(t) {
			mixed++
		}
		if dice.IntN(4) == 0 {
			healed++
			w.publish(t, w.out)
			w.mustBe(t, state)
		}
	}
	t.Logf("killed %d times: %d times with some pages old and some new; %d times put right at once", *kills, mixed, healed)
	if *kills >= 100 {
		assert.Positive(t, mixed, "no kill came while pages were put in place")
	}
	for state := range w.states {
		w.become(t, state)
		w.publish(t, w.out)
		w.mustBe(t, state)
	}
}

// Two that publish into one folder at once come one after the other.
func TestPublishEnduresAnother(t *testing.T) {
	t.Parallel()
	w := newWorkbench(t)
	for n := range *rounds {
		w.become(t, n%2)
		first, second := w.start(t, w.out), w.start(t, w.out)
		for _, r := range []*process{first, second} {
			require.Zero(t, r.end(t), r.said.String())
		}
		w.mustBe(t, n%2)
		require.Nil(t, w.stat(".stillroom.lock"))
	}
}

// Files that change, go and come back while they are read are told of or read, and what one run makes of them is not taken for true by the next.
func TestPublishEnduresChanges(t *testing.T) {
	t.Parallel()
	w := newWorkbench(t)
	dice := rand.New(rand.NewPCG(2, 2))
	var pages []string
	for name := range w.states[0] {
		if strings.HasPrefix(name, "recipes/") {
			pages = append(pages, name)
		}
	}
	slices.Sort(pages)
	for n := range *rounds {
		w.become(t, 0)
		r := w.start(t, w.out)
		for now, going := 0, true; going; now++ {
			name := pages[dice.IntN(len(pages))]
			file := filepath.Join(w.dir, filepath.FromSlash(name))
			switch data := w.states[0][name]; now % 4 {
			case 0:
				_ = os.Remove(file)
			case 1:
				_ = os.WriteFile(file, data[:len(data)/2], 0o644)
			case 2:
				_ = os.Rename(file, filepath.Join(w.dir, "away.md"))
			default:
				_ = os.WriteFile(file, bytes.Replace(data, []byte("\n---\n"), []byte("\n---\nAnother sentence.\n"), 1), 0o644)
			}
			select {
			case <-r.ended:
				going = false
			case <-time.After(time.Duration(dice.IntN(5000)) * time.Microsecond):
			}
		}
		require.Contains(t, []int{done, held, unreadable}, r.end(t), r.said.String())
		w.become(t, n%2)
		w.publish(t, w.out)
		w.mustBe(t, n%2)
	}
}

// An output folder that is taken away while it is written into is told of, and made again by the next run.
func TestPublishEnduresLoss(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("SKIPPED: this system does not let a folder be taken away that a process has open")
	}
	t.Parallel()
	w := newWorkbench(t)
	for n := range *rounds {
		w.become(t, n%2)
		r := w.start(t, w.out)
		r.until(func() bool { return w.stat(scratch) != nil })
		for os.RemoveAll(w.out) != nil { // something came into it meanwhile
		}
		if code := r.end(t); code != done {
			require.Equal(t, unreadable, code)
			require.Contains(t, r.said.String(), "publish again")
		}
		w.publish(t, w.out)
		w.mustBe(t, n%2)
	}
}

// Interrupted while it makes pages, publish leaves everything as it was, with nothing beside it, and says so.
func TestPublishEnduresInterruption(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("SKIPPED: this system does not let one process interrupt another")
	}
	t.Parallel()
	w := newWorkbench(t)
	w.become(t, 0)
	w.publish(t, w.out)
	was, interrupted := 0, 0
	for n := range *kills {
		w.become(t, 1-was)
		r := w.start(t, w.out)
		r.until(func() bool { return w.stat(scratch+"/pages") != nil })
		if err := r.Process.Signal([]os.Signal{os.Interrupt, syscall.SIGTERM}[n%2]); !errors.Is(err, os.ErrProcessDone) {
			require.NoError(t, err)
		}
		if r.end(t) == done { // it came too late
			was = 1 - was
		} else {
			interrupted++
			require.Equal(t, unreadable, r.ProcessState.ExitCode())
			require.Equal(t, "stillroom: interrupted; everything in "+w.out+" is as it was\n", r.said.String())
		}
		w.mustBe(t, was)
	}
	t.Logf("interrupted %d times of %d", interrupted, *kills)
	assert.Positive(t, interrupted)
}
