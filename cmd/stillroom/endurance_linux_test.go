package main

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who runs the tests may be allowed everything. So what is not allowed, and a disk that fills, are tried in a user namespace of its own, where this
// system has them: there the user is one of few rights whose files are the caller's, or one who may mount a small disk that only the processes in it see.

// inNamespace lets a command run in namespaces of its own, as the user with an id there.
func inNamespace(c *exec.Cmd, user int, more uintptr) {
	c.SysProcAttr = &syscall.SysProcAttr{
		Cloneflags:  syscall.CLONE_NEWUSER | more,
		UidMappings: []syscall.SysProcIDMap{{ContainerID: user, HostID: os.Getuid(), Size: 1}},
		GidMappings: []syscall.SysProcIDMap{{ContainerID: user, HostID: os.Getgid(), Size: 1}},
	}
}

// needNamespaces skips a test, and says so, where the system makes none of the namespaces that it takes.
func needNamespaces(t *testing.T, user int, more uintptr, try ...string) {
	t.Helper()
	c := exec.Command(try[0], try[1:]...)
	inNamespace(c, user, more)
	if out, err := c.CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: this system does not let %q run in a user namespace: %v %s", try, err, out)
	}
}

// fills publishes the first handbook onto a disk that has little more room than that takes, then the second, and again when there is room.
const fills = `set -e
mount -t tmpfs -o size="${SIZE}k" tmpfs "$DISK"
stillroom publish "$FIRST" --to "$DISK/public"
cp -r "$DISK/public" "$SEEN/before"
code=0; stillroom publish "$SECOND" --to "$DISK/public" 2> "$SEEN/said" || code=$?
echo $code > "$SEEN/code"
cp -r "$DISK/public" "$SEEN/after"
mount -o remount,size=64m "$DISK"
stillroom publish "$SECOND" --to "$DISK/public"
cp -r "$DISK/public" "$SEEN/at-last"
`

// On a full disk publish names the file, says what to do, and leaves all as it was.
func TestPublishEnduresFullDisk(t *testing.T) {
	t.Parallel()
	needNamespaces(t, 0, syscall.CLONE_NEWNS, "mount", "-t", "tmpfs", "tmpfs", t.TempDir())
	w := newWorkbench(t)
	disk, seen, second := t.TempDir(), t.TempDir(), t.TempDir()
	for name, data := range w.states[1] {
		file := filepath.Join(second, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, data, 0o644))
	}
	w.become(t, 0)
	size := 0
	for _, text := range w.clean[0] {
		size += len(text)/1024 + 4
	}
	c := exec.Command("sh", "-c", fills)
	inNamespace(c, 0, syscall.CLONE_NEWNS)
	c.Env = append(w.env, "DISK="+disk, "SEEN="+seen, "FIRST="+w.dir, "SECOND="+second, fmt.Sprint("SIZE=", size*5/4))
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s", out)
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join(seen, name))
		require.NoError(t, err)
		return strings.TrimSpace(string(text))
	}
	assert.Equal(t, "2", read("code"))
	assert.Regexp(t, `(\.(html|json|csv|xml|js|css|txt)|the list of files):? cannot be written: no space left on device; everything in .*public is as it was: see that there is room`, read("said"))
	require.Empty(t, differing(w.clean[0], readFolder(t, filepath.Join(seen, "before"))))
	require.Empty(t, differing(w.clean[0], readFolder(t, filepath.Join(seen, "after"))))
	require.Empty(t, differing(w.clean[1], readFolder(t, filepath.Join(seen, "at-last"))))
}

// Where publish may not write, it says so and leaves all as it was. Where it may not put some of the pages in place, every one is whole,
// and the next run that may puts all right.
func TestPublishEnduresRefusal(t *testing.T) {
	t.Parallel()
	needNamespaces(t, 1000, 0, "true")
	w := newWorkbench(t)
	w.become(t, 0)
	w.publish(t, w.out)
	w.become(t, 1)
	refused := func(folder string) string {
		name := filepath.Join(w.out, folder)
		require.NoError(t, os.Chmod(name, 0o555))
		defer func() { require.NoError(t, os.Chmod(name, 0o755)) }()
		c := exec.Command("stillroom", "publish", w.dir, "--to", w.out)
		inNamespace(c, 1000, 0)
		c.Env = w.env
		said, err := c.CombinedOutput()
		require.Error(t, err, "%s", said)
		require.Equal(t, unreadable, c.ProcessState.ExitCode())
		return string(said)
	}

	assert.Contains(t, refused("."), "public: permission denied; see that it may be written to, or choose another with --to")
	w.mustBe(t, 0)

	both := slices.DeleteFunc(slices.Sorted(maps.Keys(w.clean[0])), func(name string) bool {
		return !strings.HasPrefix(name, "recipes/") || !strings.HasSuffix(name, "/index.html") || w.clean[1][name] == ""
	})
	said := refused(path.Dir(both[0]))
	assert.Regexp(t, regexp.QuoteMeta(path.Dir(both[0]))+`/[^ ]* cannot be put in place: permission denied; every file in .*public is whole, but not all are new ones yet`, said)
	assert.True(t, w.mustBeWhole(t), "some pages are new, others could not be")
	w.publish(t, w.out)
	w.mustBe(t, 1)
}
