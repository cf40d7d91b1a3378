package members_test

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
)

var day = time.Date(2026, 5, 3, 23, 30, 0, 0, time.FixedZone("east", 7200))

// desk makes a folder with a quick door.
func desk(t testing.TB, list string) *os.Root {
	t.Helper()
	root, err := os.OpenRoot(t.TempDir())
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, root.Close()) })
	put(t, root, members.KeyFile, text(t, newDoor(t, 1))+"\n")
	put(t, root, members.ListFile, cmp.Or(list, "members:\n"))
	return root
}

func put(t testing.TB, root *os.Root, name, text string) {
	t.Helper()
	require.NoError(t, root.WriteFile(name, []byte(text), 0o644))
}

func get(t testing.TB, root *os.Root, name string) string {
	t.Helper()
	raw, err := root.ReadFile(name)
	require.NoError(t, err)
	return string(raw)
}

func open(t testing.TB, root *os.Root) *members.Keeper {
	t.Helper()
	k, err := members.Open(t.Context(), root)
	require.NoError(t, err)
	return k
}

// add adds people and saves.
func add(t testing.TB, root *os.Root, seed byte, names ...string) []members.Admitted {
	t.Helper()
	k := open(t, root)
	added, err := k.Add(t.Context(), chance(seed), day, names...)
	require.NoError(t, err)
	require.NoError(t, k.Save())
	require.NoError(t, k.Close())
	return added
}

func remove(t testing.TB, root *os.Root, names ...string) {
	t.Helper()
	k := open(t, root)
	require.NoError(t, k.Remove(names...))
	require.NoError(t, k.Save())
	require.NoError(t, k.Close())
}

// files names what lies in a folder.
func files(t testing.TB, root *os.Root) []string {
	t.Helper()
	entries, err := os.ReadDir(root.Name())
	require.NoError(t, err)
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

// unlock opens the ring with a code.
func unlock(t testing.TB, root *os.Root, code seal.Code) (seal.ContentKey, error) {
	t.Helper()
	ring, err := read(t, root.FS()).Ring()
	require.NoError(t, err)
	return ring.Unlock(code)
}

func TestFirstMember(t *testing.T) {
	t.Parallel()
	root, err := os.OpenRoot(t.TempDir())
	require.NoError(t, err)
	defer root.Close()
	added := add(t, root, 5, "Wren Hollis")
	require.Len(t, added, 1)
	assert.Equal(t, []string{members.KeyFile, members.ListFile}, files(t, root), "the lock and the files beside are gone")
	l := read(t, root.FS())
	door, _ := l.Door()
	assert.Equal(t, uint32(1), door.Epoch())
	assert.Contains(t, text(t, door), "."+strconv.Itoa(seal.Rounds)+".")
	key, err := unlock(t, root, added[0].Code)
	require.NoError(t, err)
	assert.Equal(t, door.ContentKey(), key)
	assert.Equal(t, []members.Member{added[0].Member}, l.Members())
	assert.Equal(t, "2026-05-03", added[0].Since.Format(time.DateOnly), "the day where the maker is")
	assert.Contains(t, get(t, root, members.ListFile), "\n  - {name: Wren Hollis, since: 2026-05-03, key: member1.")
	assert.Contains(t, get(t, root, members.KeyFile), "Never publish it")
	for _, name := range files(t, root) {
		info, err := root.Stat(name)
		require.NoError(t, err)
		if runtime.GOOS != "windows" { // where there are no such modes
			assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
		}
		assert.NotContains(t, get(t, root, name), added[0].Code.String())
	}
}

// The same randomness and day give the same files, so that nothing else goes into them.
func TestAddIsOfItsSource(t *testing.T) {
	t.Parallel()
	one, two, three := desk(t, ""), desk(t, ""), desk(t, "")
	add(t, one, 5, "Wren", "Bo")
	add(t, two, 5, "Wren", "Bo")
	add(t, three, 6, "Wren", "Bo")
	assert.Equal(t, get(t, one, members.ListFile), get(t, two, members.ListFile))
	assert.NotEqual(t, get(t, one, members.ListFile), get(t, three, members.ListFile))
}

func TestAddAndRemove(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	added := add(t, root, 5, "Wren", "Bo")
	added = append(added, add(t, root, 6, "Isla")...)
	assert.Equal(t, []string{"Wren", "Bo", "Isla"}, names(read(t, root.FS())))
	before := map[string]seal.ContentKey{}
	for _, a := range added {
		key, err := unlock(t, root, a.Code)
		require.NoError(t, err)
		before[a.Name] = key
	}
	remove(t, root, "BO", "bo")
	assert.Equal(t, []string{"Wren", "Isla"}, names(read(t, root.FS())))
	for _, a := range added {
		key, err := unlock(t, root, a.Code)
		if a.Name == "Bo" {
			assert.ErrorIs(t, err, seal.ErrUnknown)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, uint32(2), key.Epoch())
		assert.NotEqual(t, before[a.Name], key, "what was sealed for Bo is sealed anew")
	}
	remove(t, root, "Wren", "Isla")
	assert.Empty(t, read(t, root.FS()).Members())
	again := add(t, root, 7, "Bo")
	_, err := unlock(t, root, again[0].Code)
	assert.NoError(t, err)
}

func TestRemarksStay(t *testing.T) {
	t.Parallel()
	door := newDoor(t, 1)
	row := func(name string, seed byte) string {
		return "  - {name: " + name + ", since: 2026-05-03, key: " + memberKey(t, door, seed) + "}"
	}
	root := desk(t, "# The list.\n\nmembers:\n  # by post\n"+row("Wren", 2)+" # until May\n  # by mail\n"+row("Bo", 3)+"\n"+row("Isla", 4)+"\n\n# the end\n")
	put(t, root, members.KeyFile, "# ours\n"+text(t, door)+"\n# below\n")
	add(t, root, 5, "Mab")
	list := get(t, root, members.ListFile)
	for _, remark := range []string{"# The list.\n", "  # by post\n" + row("Wren", 2) + " # until May\n", "  # by mail\n" + row("Bo", 3) + "\n", "# the end\n"} {
		assert.Contains(t, list, remark)
	}
	assert.Equal(t, "# ours\n"+text(t, door)+"\n# below\n", get(t, root, members.KeyFile), "adding leaves the key's file alone")
	remove(t, root, "Wren")
	list = get(t, root, members.ListFile)
	assert.Contains(t, list, "# by post\n")
	assert.Contains(t, list, "# by mail\n"+row("Bo", 3)+"\n")
	assert.NotContains(t, list, "until May")
	assert.Equal(t, "# ours\n# below\n"+text(t, door.NextEpoch())+"\n", get(t, root, members.KeyFile))
	remove(t, root, "Isla", "Bo", "Mab")
	for _, remark := range []string{"# The list.", "# by post", "# by mail", "# the end"} {
		assert.Contains(t, get(t, root, members.ListFile), remark)
	}
}

func TestListOfRemarksAlone(t *testing.T) {
	t.Parallel()
	root := desk(t, "# nobody\n\n# yet\n")
	add(t, root, 5, "Wren")
	assert.True(t, strings.HasPrefix(get(t, root, members.ListFile), "# nobody\n\n# yet\n"), get(t, root, members.ListFile))
}

func TestAddRefuses(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	add(t, root, 5, "Wren")
	list := get(t, root, members.ListFile)
	for _, test := range []struct {
		name   string
		random io.Reader
		names  []string
		want   []string
	}{
		{"a member", chance(6), []string{"Bo", "WREN"}, []string{"“WREN” is a member already"}},
		{"one name twice", chance(6), []string{"Bo", "bo "}, []string{"“bo” stands there twice"}},
		{"no names, all told", chance(6), []string{"", "=1"}, []string{"there is no name", "work out as a sum"}},
		{"too many", chance(6), make([]string, members.Most), []string{"4097 members"}},
		{"no randomness", iotest.ErrReader(errors.New("no chance")), []string{"Bo"}, []string{"no chance"}},
		{"the same randomness twice", chance(5), []string{"Bo"}, []string{"listed twice"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			k := open(t, root)
			defer func() { require.NoError(t, k.Close()) }()
			_, err := k.Add(t.Context(), test.random, day, test.names...)
			for _, want := range test.want {
				assert.ErrorContains(t, err, want)
			}
			require.NoError(t, k.Save())
			assert.Equal(t, list, get(t, root, members.ListFile))
		})
	}
	k := open(t, root)
	assert.ErrorContains(t, k.Remove("Wren", "Wern"), "there is no member “Wern”")
	require.NoError(t, k.Save())
	require.NoError(t, k.Close())
	assert.Equal(t, list, get(t, root, members.ListFile))
}

func TestInterrupted(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	k := open(t, root)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := k.Add(ctx, chance(5), day, "Wren")
	assert.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, k.Members())
	require.NoError(t, k.Close())
	assert.Equal(t, []string{members.KeyFile, members.ListFile}, files(t, root))
}

func TestSaveRefusesWhatChangedMeanwhile(t *testing.T) {
	t.Parallel()
	for name, file := range map[string]string{"the list": members.ListFile, "the key": members.KeyFile} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			root := desk(t, "")
			k := open(t, root)
			_, err := k.Add(t.Context(), chance(5), day, "Wren")
			require.NoError(t, err)
			put(t, root, file, "# an editor was here\n")
			assert.ErrorContains(t, k.Save(), file+" was changed meanwhile")
			require.NoError(t, k.Close())
			assert.Equal(t, "# an editor was here\n", get(t, root, file))
		})
	}
}

// When a file cannot be written, neither is, and nothing is left beside them.
func TestSaveAllOrNothing(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	add(t, root, 5, "Wren")
	key, list := get(t, root, members.KeyFile), get(t, root, members.ListFile)
	require.NoError(t, root.MkdirAll(members.ListFile+".new/in-the-way", 0o755))
	k := open(t, root)
	require.NoError(t, k.Remove("Wren"))
	assert.ErrorContains(t, k.Save(), "write members.yaml")
	require.NoError(t, k.Close())
	assert.Equal(t, key, get(t, root, members.KeyFile))
	assert.Equal(t, list, get(t, root, members.ListFile))
	assert.Equal(t, []string{members.KeyFile, members.ListFile, members.ListFile + ".new"}, files(t, root))
}

// A removal that was cut off between its two files is told of, and can be done again.
func TestRemovalCutOff(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	added := add(t, root, 5, "Wren", "Bo")
	put(t, root, members.KeyFile, text(t, newDoor(t, 1).NextEpoch())) // the first of the two is written
	put(t, root, members.KeyFile+".new", "cut of")
	_, err := members.Open(t.Context(), root)
	assert.ErrorContains(t, err, "door.key is newer than members.yaml says (key 2, not 1)")
	renew(t, root)
	_, err = unlock(t, root, added[0].Code)
	require.NoError(t, err)
	remove(t, root, "Wren")
	_, err = unlock(t, root, added[0].Code)
	require.ErrorIs(t, err, seal.ErrUnknown)
	key, err := unlock(t, root, added[1].Code)
	require.NoError(t, err)
	assert.Equal(t, uint32(4), key.Epoch())
	assert.Equal(t, []string{members.KeyFile, members.ListFile}, files(t, root))
}

func renew(t testing.TB, root *os.Root) {
	t.Helper()
	k, err := members.Renew(t.Context(), root)
	require.NoError(t, err)
	require.NoError(t, k.Save())
	require.NoError(t, k.Close())
}

// An old key that was put back is told of; without the newest one, a still newer one shuts out whoever was removed, and nobody else.
func TestOldKeyPutBack(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	added := add(t, root, 5, "Wren", "Bo")
	old := get(t, root, members.KeyFile)
	saved, err := read(t, root.FS()).Ring() // what Wren keeps
	require.NoError(t, err)
	remove(t, root, "Wren")
	put(t, root, members.KeyFile, old)
	_, problems := members.Read(root.FS())
	checkProblems(t, []string{"members.yaml:1:11: door.key is older than members.yaml says (key 1, not 2): someone who was removed could open what you publish"}, problems)
	_, err = members.Open(t.Context(), root)
	assert.ErrorContains(t, err, "door.key is older")

	renew(t, root)
	hers, err := saved.Unlock(added[0].Code)
	require.NoError(t, err)
	key, err := unlock(t, root, added[1].Code)
	require.NoError(t, err)
	assert.Equal(t, uint32(3), key.Epoch())
	assert.NotEqual(t, hers, key)
	_, err = unlock(t, root, added[0].Code)
	assert.ErrorIs(t, err, seal.ErrUnknown)
	assert.Contains(t, get(t, root, members.ListFile), "door-key: 3\n")
}

// Lists from before they said which key they go with are read, and say it when they are next written.
func TestListsThatDoNotSayTheirKey(t *testing.T) {
	t.Parallel()
	for _, test := range []struct{ name, before, after string }{
		{"remarks", "# ours\n\n# Wren:\nmembers:\n  # by post\n  - {name: Wren, key: KEY}\n", "# ours\n\n# Wren:\ndoor-key: 1\nmembers:\n  # by post\n  - {name: Wren, key: KEY}\n  - {name: Bo,"},
		{"no remarks", "members:\n  - {name: Wren, key: KEY}\n", "door-key: 1\nmembers:\n  - {name: Wren, key: KEY}\n  - {name: Bo,"},
		{"said with a remark", "# ours\ndoor-key: 1 # the first\nmembers:\n  - {name: Wren, key: KEY}\n", "# ours\ndoor-key: 1 # the first\nmembers:\n  - {name: Wren, key: KEY}\n  - {name: Bo,"},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			wren := memberKey(t, newDoor(t, 1), 2)
			root := desk(t, strings.Replace(test.before, "KEY", wren, 1))
			add(t, root, 5, "Bo")
			got := get(t, root, members.ListFile)
			assert.True(t, strings.HasPrefix(got, strings.Replace(test.after, "KEY", wren, 1)), got)
			remove(t, root, "Bo")
			assert.Contains(t, get(t, root, members.ListFile), "door-key: 2")
		})
	}
}

func TestOpenRefuses(t *testing.T) {
	t.Parallel()
	root := desk(t, "members: x\n")
	_, err := members.Open(t.Context(), root)
	problems, ok := errors.AsType[*problem.List](err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, 1, problems.Len())
	assert.NotContains(t, files(t, root), members.LockFile)

	root = desk(t, "")
	require.NoError(t, os.Rename(filepath.Join(root.Name(), members.KeyFile), filepath.Join(root.Name(), "elsewhere")))
	if err := root.Symlink("elsewhere", members.KeyFile); err != nil {
		t.Skip("no symbolic links here")
	}
	_, err = members.Open(t.Context(), root)
	assert.ErrorContains(t, err, "door.key is no ordinary file")
}

// The ring takes as many members as may be added.
func TestMost(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	all := make([]string, members.Most)
	for i := range all {
		all[i] = "Reader " + strconv.Itoa(i)
	}
	add(t, root, 5, all...)
	l := read(t, root.FS())
	assert.Len(t, l.Members(), members.Most)
	_, err := l.Ring()
	assert.NoError(t, err)
}
