//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/floor"
)

// BenchmarkCommand measures the command in processes of its own, on handbooks of 1,000 and 10,000 recipes: publishing from nothing (each time into a new
// folder, by turns with the floor of package floor, which figures with “floor” are of), where nothing has changed since the last run, and where one
// recipe's text has; checking; and weighing one recipe. peak-MB is the most memory that the process had. Run it with -benchtime 1x and -count.
func BenchmarkCommand(b *testing.B) {
	command := filepath.Join(b.TempDir(), "stillroom")
	said, err := exec.Command("go", "build", "-race=false", "-o", command, ".").CombinedOutput()
	require.NoError(b, err, "%s", said)
	for _, recipes := range []int{1000, 10_000} {
		b.Run(fmt.Sprintf("recipes=%d", recipes), func(b *testing.B) {
			t := newTrack(b, command, recipes)
			b.Run("publish-new", t.fromNothing)
			b.Run("publish-same", func(b *testing.B) { t.again(b, func(int) {}, 0, 0) })
			b.Run("publish-one", t.oneChanged)
			b.Run("check", func(b *testing.B) { t.only(b, "check", t.handbook) })
			b.Run("weigh", func(b *testing.B) { t.only(b, "weigh", t.page(b), "250g", "--in", t.handbook) })
		})
	}
}

// A track is a handbook, published once, for the command to be run on again and again.
type track struct {
	command, handbook, plan string
	out, cache              string // of the first publishing
	room                    string // for folders of output
}

func newTrack(b *testing.B, command string, recipes int) *track {
	dir := b.TempDir()
	t := &track{command: command, handbook: filepath.Join(dir, "handbook"), plan: filepath.Join(dir, "plan"), room: roomFor(b)}
	t.out, t.cache = filepath.Join(t.room, "first"), filepath.Join(dir, "cache")
	said, err := part("handbook", t.handbook, strconv.Itoa(recipes)).CombinedOutput()
	require.NoError(b, err, "%s", said)
	t.publish(b, t.out, t.cache)
	require.NoError(b, floor.Plan(t.out, t.plan))
	return t
}

// roomFor gives a folder for output, in memory where the system has one for that, so that no disk is measured.
func roomFor(b *testing.B) string {
	dir, err := os.MkdirTemp("/dev/shm", "stillroom")
	if err != nil {
		b.Log("there is no /dev/shm: what is measured writes to a disk")
		return b.TempDir()
	}
	b.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// fromNothing publishes into new folders, by turns with the floor.
func (t *track) fromNothing(b *testing.B) {
	var ours, least spent
	var wall, cpu float64
	for b.Loop() {
		out, cache := filepath.Join(t.room, "new"), b.TempDir()
		a, _ := t.publish(b, out, cache)
		require.NoError(b, os.RemoveAll(out))
		f, _ := measured(b, part("floor", t.handbook, t.plan, out))
		require.NoError(b, os.RemoveAll(out))
		ours, least = ours.plus(a), least.plus(f)
		wall, cpu = wall+a.wall/f.wall, cpu+a.cpu/f.cpu
	}
	ours.report(b)
	n := float64(b.N)
	b.ReportMetric(wall/n, "wall/floor")
	b.ReportMetric(cpu/n, "cpu/floor")
	b.ReportMetric(least.wall/n, "floor-wall-s")
	b.ReportMetric(least.cpu/n, "floor-cpu-s")
}

// oneChanged writes a sentence into a recipe before each publishing.
func (t *track) oneChanged(b *testing.B) {
	page := t.page(b)
	text, err := os.ReadFile(page)
	require.NoError(b, err)
	stamp := time.Now()
	t.again(b, func(n int) {
		more := fmt.Sprintf("\nTried for the %dth time since %s.\n", n+1, stamp)
		require.NoError(b, os.WriteFile(page, append(text[:len(text):len(text)], more...), 0o644))
	}, 1, 50)
}

// page gives the file of a recipe that is published, from the middle.
func (t *track) page(b *testing.B) string {
	pages, err := filepath.Glob(filepath.Join(t.handbook, "recipes", "*", "*.md"))
	require.NoError(b, err)
	pages = slices.DeleteFunc(pages, func(page string) bool {
		_, err := os.Stat(filepath.Join(t.out, "recipes", strings.TrimSuffix(filepath.Base(page), ".md"), "index.html"))
		return err != nil
	})
	require.NotEmpty(b, pages)
	return pages[len(pages)/2]
}

// only runs a command that writes nothing.
func (t *track) only(b *testing.B, args ...string) {
	var all spent
	for b.Loop() {
		s, _ := t.measured(b, exec.Command(t.command, args...))
		all = all.plus(s)
	}
	all.report(b)
}

// again publishes into the same folder again, after a change that rewrites so many files.
func (t *track) again(b *testing.B, change func(n int), least, most int) {
	var all spent
	for n := 0; b.Loop(); n++ {
		change(n)
		s, written := t.publish(b, t.out, t.cache)
		require.GreaterOrEqual(b, written, least)
		require.LessOrEqual(b, written, most)
		all = all.plus(s)
	}
	all.report(b)
}

var tallied = regexp.MustCompile(`(?m)files, (\d+) written, \d+ removed$`)

// publish publishes the handbook, and says what that took and how many files were written.
func (t *track) publish(b *testing.B, out, cache string) (spent, int) {
	cmd := exec.Command(t.command, "publish", t.handbook, "--to", out)
	cmd.Env = append(os.Environ(), "XDG_CACHE_HOME="+cache, "HOME="+cache)
	s, said := t.measured(b, cmd)
	found := tallied.FindStringSubmatch(said)
	require.NotNil(b, found, said)
	written, err := strconv.Atoi(found[1])
	require.NoError(b, err)
	return s, written
}

// measured measures the command itself.
func (t *track) measured(b *testing.B, cmd *exec.Cmd) (spent, string) {
	s, said := measured(b, cmd)
	var self syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &self))
	require.Greater(b, s.peak, megabytes(&self), "a process is counted as large as the one that starts it, at the least")
	return s, said
}

// part gives this tests' program in another part.
func part(name string, args ...string) *exec.Cmd {
	this, err := os.Executable()
	if err != nil {
		panic(err)
	}
	cmd := exec.Command(this, args...)
	cmd.Env = append(os.Environ(), partVariable+"="+name)
	return cmd
}

// What was spent is what processes took: seconds by the clock and of all cores' work, and MB of memory at the most.
type spent struct{ wall, cpu, peak float64 }

func (s spent) plus(t spent) spent { return spent{s.wall + t.wall, s.cpu + t.cpu, s.peak + t.peak} }

// report reports the means.
func (s spent) report(b *testing.B) {
	n := float64(b.N)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(s.wall/n, "wall-s")
	b.ReportMetric(s.cpu/n, "cpu-s")
	b.ReportMetric(s.peak/n, "peak-MB")
}

// measured runs a process to its end, which is a good one: recipes may be held back.
func measured(b *testing.B, cmd *exec.Cmd) (spent, string) {
	start := time.Now()
	said, err := cmd.CombinedOutput()
	wall := time.Since(start)
	if cmd.ProcessState.ExitCode() != held {
		require.NoError(b, err, "%s", said)
	}
	cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return spent{wall.Seconds(), cpu.Seconds(), megabytes(cmd.ProcessState.SysUsage().(*syscall.Rusage))}, string(said)
}

// megabytes gives the most memory that a process had, in millions of bytes, as benchstat takes MB. Darwin counts in bytes, others in 1024 of them.
func megabytes(r *syscall.Rusage) float64 {
	if runtime.GOOS == "darwin" {
		return float64(r.Maxrss) / 1e6
	}
	return float64(r.Maxrss) * 1024 / 1e6
}
