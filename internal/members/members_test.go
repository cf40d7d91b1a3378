package members_test

import (
	"io/fs"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"
	"time"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
)

// few is a number of rounds for tests that are not about them.
const few = 2

// chance gives the same random bytes every time.
func chance(seed byte) *rand.ChaCha8 { return rand.NewChaCha8([32]byte{seed}) }

func newDoor(t testing.TB, seed byte) seal.Door {
	t.Helper()
	d, err := seal.NewDoor(chance(seed), few)
	require.NoError(t, err)
	return d
}

func text(t testing.TB, v interface{ MarshalText() ([]byte, error) }) string {
	t.Helper()
	b, err := v.MarshalText()
	require.NoError(t, err)
	return string(b)
}

// memberKey gives a member's line.
func memberKey(t testing.TB, d seal.Door, seed byte) string {
	t.Helper()
	code, err := seal.NewCode(chance(seed))
	require.NoError(t, err)
	return text(t, d.Admit(code))
}

// folder makes a handbook's folder; "" is a file that is not there.
func folder(key, list string) fstest.MapFS {
	all := fstest.MapFS{}
	for name, text := range map[string]string{members.KeyFile: key, members.ListFile: list} {
		if text != "" {
			all[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return all
}

func read(t testing.TB, fsys fs.FS) *members.List {
	t.Helper()
	l, problems := members.Read(fsys)
	require.NoError(t, problems.Err())
	return l
}

func names(l *members.List) []string {
	var all []string
	for _, m := range l.Members() {
		all = append(all, m.Name)
	}
	return all
}

func TestReadNothing(t *testing.T) {
	t.Parallel()
	l := read(t, fstest.MapFS{})
	_, has := l.Door()
	assert.False(t, has)
	assert.Empty(t, l.Members())
	_, err := l.Ring()
	assert.ErrorContains(t, err, "stillroom members add")
}

func TestRead(t *testing.T) {
	t.Parallel()
	door := newDoor(t, 1)
	key := text(t, door)
	wren, bo := memberKey(t, door, 2), memberKey(t, door, 3)
	for _, test := range []struct {
		name, key, list string
		want            []string
	}{
		{"which key it goes with", key, "door-key: 1\nmembers: [{name: Bo, key: " + bo + "}]\n", []string{"Bo"}},
		{"which key it goes with, and nobody", key, "door-key: 1\n", nil},
		{"remarks alone", "# ours\n\n" + key + "\n# end\n", "# nobody\n\n# yet\n", nil},
		{"members: with nothing", key, "members:\n", nil},
		{"an empty list", key, "members: []\n", nil},
		{"rows", key, "members:\n  - {name: Wren Hollis, since: 2026-05-03, key: " + wren + "}\n  - {name: Bo, key: " + bo + "}\n", []string{"Wren Hollis", "Bo"}},
		{"blocks, quotes and remarks", key, "# ours\nmembers:\n- name: \"Wren  Hollis\"\n  # by post\n  key: '" + wren + "'\n  since: 2026-05-03 # May\n", []string{"Wren Hollis"}},
		{"a flow list", key, "{members: [{name: Bo, key: " + bo + "}]}", []string{"Bo"}},
		{"accents apart", key, "members: [{name: \"Zoe\u0308\", key: " + bo + "}]", []string{"Zoë"}},
	} {
		for form, write := range map[string]func(string) string{
			"": func(s string) string { return s },
			", CRLF and a byte order mark": func(s string) string {
				if s == "" {
					return ""
				}
				return "\ufeff" + strings.ReplaceAll(s, "\n", "\r\n")
			},
			", UTF-16": utf16LE,
		} {
			t.Run(test.name+form, func(t *testing.T) {
				t.Parallel()
				l := read(t, folder(write(test.key), write(test.list)))
				got, has := l.Door()
				assert.True(t, has)
				assert.Equal(t, door, got)
				assert.Equal(t, test.want, names(l))
				_, err := l.Ring()
				assert.NoError(t, err)
			})
		}
	}
}

// utf16LE writes a text as UTF-16 with a byte order mark.
func utf16LE(s string) string {
	if s == "" {
		return ""
	}
	var b strings.Builder
	for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
		b.WriteByte(byte(u))
		b.WriteByte(byte(u >> 8))
	}
	return b.String()
}

func TestReadDays(t *testing.T) {
	t.Parallel()
	door := newDoor(t, 1)
	l := read(t, folder(text(t, door), "members: [{name: Bo, since: 2026-05-03, key: "+memberKey(t, door, 2)+"}]"))
	m, there := l.Find(" BO ")
	require.True(t, there)
	assert.Equal(t, time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), m.Since)
	_, there = l.Find("Boo")
	assert.False(t, there)
}

func TestReadProblems(t *testing.T) {
	t.Parallel()
	door, other := newDoor(t, 1), newDoor(t, 9)
	key := text(t, door)
	wren, bo := memberKey(t, door, 2), memberKey(t, door, 3)
	row := func(fields string) string { return "members:\n  - {" + fields + "}\n" }
	for _, test := range []struct {
		name, key, list string
		want            []string // each problem's first line, ending in …: its beginning
	}{
		{"no key", "", row("name: Wren, key: " + wren), []string{"door.key:1:1: the key to the members' pages is missing, and members.yaml has members"}},
		{"an empty key file", "# the key was here\n", row("name: Wren, key: " + wren), []string{"door.key:1:1: the key is missing from its file"}},
		{"a cut key", "# ours\n" + key[:len(key)-1], row("name: Wren, key: " + wren), []string{"door.key:2:1: the door's key does not match its check: …"}},
		{"no list", key, "", []string{"members.yaml:1:1: the list of members is missing, and there is a key to their pages, door.key"}},
		{"an old key", key, "door-key: 3\n" + row("name: Wren, key: "+wren), []string{
			"members.yaml:1:11: door.key is older than members.yaml says (key 1, not 3): someone who was removed could open what you publish",
		}},
		{"an old key, and nobody", key, "door-key: 3\n", []string{"members.yaml:1:11: door.key is older …"}},
		{"an old list", text(t, door.NextEpoch()), "door-key: 1\n" + row("name: Wren, key: "+wren), []string{
			"members.yaml:1:11: door.key is newer than members.yaml says (key 2, not 1): someone who was removed may stand in the list again",
		}},
		{"no such key", key, "door-key: 0\nmembers: []\n", []string{"members.yaml:1:11: door-key: should be a whole number from 1 to 1000000"}},
		{"a key in words", key, "door-key: first\n", []string{"members.yaml:1:11: door-key: should be a whole number from 1 to 1000000"}},
		{"a key in hexadecimal", key, "members:\ndoor-key: 0x1\n", []string{"members.yaml:2:11: door-key: should be a whole number from 1 to 1000000"}},
		{"keys", key, "door-key: [1]\n", []string{"members.yaml:1:11: a single value should stand here"}},
		{"two keys", key + "\n" + text(t, other) + "\n", "", []string{"door.key:2:1: there is more here than the one line of the key"}},
		{"another door", text(t, other), row("name: Wren, key: "+wren) + "  - {name: Bo, key: " + bo + "}\n", []string{
			"members.yaml:2:5: the key of “Wren” does not belong to this door", "members.yaml:3:5: the key of “Bo” does not belong to this door",
		}},
		{"a list that is none", key, "members: Wren\n", []string{"members.yaml:1:10: members: should be a list"}},
		{"names alone", key, "members:\n  - Wren\n", []string{"members.yaml:2:5: a member should be a group of names with values"}},
		{"a list on its own", key, "- {name: Wren}\n", []string{"members.yaml:1:1: members.yaml should be a group of names with values"}},
		{"another name", key, "membres: []\n", []string{"members.yaml:1:1: members.yaml has no “membres”"}},
		{"members: twice", key, "members: []\nmembers: []\n", []string{"members.yaml:2:1: …"}},
		{"an unknown field", key, row("name: Wren, sinse: 2026-05-03, key: " + wren), []string{"members.yaml:2:18: a member has no “sinse”"}},
		{"no name", key, row("key: " + wren), []string{"members.yaml:2:5: a member has no name:"}},
		{"no key of a member", key, row("name: Wren"), []string{"members.yaml:2:5: a member has no key:"}},
		{"an empty name", key, row("name: ' ', key: " + wren), []string{"members.yaml:2:12: there is no name"}},
		{"a name that is a list", key, row("name: [Wren], key: " + wren), []string{"members.yaml:2:12: a single value should stand here"}},
		{"no value", key, row("name: , key: " + wren), []string{"members.yaml:2:12: a single value should stand here"}},
		{"no day", key, row("name: Wren, since: 3 May, key: " + wren), []string{"members.yaml:2:25: this is no day"}},
		{"no such day", key, row("name: Wren, since: 2026-02-30, key: " + wren), []string{"members.yaml:2:25: this is no day"}},
		{"a cut member's key", key, row("name: Wren, key: " + wren[:40]), []string{"members.yaml:2:23: a member's key is not a line that begins with \"member1.\" and has 3 parts: …"}},
		{"an access code for a key", key, row("name: Wren, key: 7K3QD"), []string{"members.yaml:2:23: a member's key is not a line …"}},
		{"one name twice", key, row("name: Wren, key: "+wren) + "  - {name: WREN, key: " + bo + "}\n", []string{"members.yaml:3:5: “WREN” is a member already"}},
		{"one key twice", key, row("name: Wren, key: "+wren) + "  - {name: Bo, key: " + wren + "}\n", []string{"members.yaml:3:5: this is the key of another member"}},
		{"a reference", key, "members:\n  - &a {name: Wren, key: " + wren + "}\n", []string{"members.yaml:2:5: a member should be …"}},
		{"not closed", key, "members:\n  - {name: Wren\n", []string{"members.yaml:3:1: this is not readable …"}},
		{"two documents", key, "members: []\n---\nmembers: []\n", []string{"members.yaml:1:1: this is not readable …"}},
		{"not UTF-8", key, "members:\n  - {name: Zo\xeb, key: " + wren + "}\n", []string{"members.yaml:2:14: this is not UTF-8 text"}},
		{"half a character", key, "\xff\xfem", []string{"members.yaml:1:1: the file cannot be read as text: it ends in the middle of a UTF-16 character"}},
		{"a zero byte", key, "members:\x00", []string{"members.yaml:1:9: there is a zero byte here, which no text has"}},
		{"all faults at once", key, row("name: Wren, since: x") + "  - {name: Bo, key: y}\n", []string{
			"members.yaml:2:5: a member has no key:", "members.yaml:2:25: this is no day", "members.yaml:3:21: …",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, problems := members.Read(folder(test.key, test.list))
			checkProblems(t, test.want, problems)
			secret := strings.Split(key, ".")[4]
			for _, p := range problems.All() {
				assert.NotContains(t, p.Text(), secret, "the key is shown")
				assert.NotContains(t, p.Text(), secret[:16], "a part of the key is shown")
			}
		})
	}
}

// checkProblems compares the problems' first lines; … stands for any ending.
func checkProblems(t *testing.T, want []string, problems *problem.List) {
	t.Helper()
	got := problems.All()
	require.Len(t, got, len(want), "%v", problems.Err())
	for i, p := range got {
		begin, open := strings.CutSuffix(want[i], "…")
		assert.NotEmpty(t, p.Hint)
		if open {
			assert.True(t, strings.HasPrefix(p.Error(), begin), "%s\nnot: %s", p.Error(), begin)
			continue
		}
		assert.Equal(t, begin, p.Error())
	}
}

func TestReadTooLarge(t *testing.T) {
	t.Parallel()
	_, problems := members.Read(folder(text(t, newDoor(t, 1)), strings.Repeat("#\n", 3<<20)))
	assert.ErrorContains(t, problems.Err(), "larger than the 4 MB")
}

func TestReadFolderForFile(t *testing.T) {
	t.Parallel()
	_, problems := members.Read(fstest.MapFS{members.ListFile + "/x": {}})
	assert.ErrorContains(t, problems.Err(), "members.yaml:1:1: this cannot be read")
}

// A list that is wrong throughout is not told of row by row.
func TestReadWrongThroughout(t *testing.T) {
	t.Parallel()
	_, problems := members.Read(folder(text(t, newDoor(t, 1)), "members: ["+strings.Repeat("x,", 1<<16)+"]"))
	assert.Equal(t, 100, problems.Len())
}
