package members_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/problem"
)

// inside sees that every problem has its place in a file, and something to do about it.
func inside(t *testing.T, problems *problem.List) {
	t.Helper()
	for _, p := range problems.All() {
		require.NotNil(t, p.Span.Source)
		assert.NotEmpty(t, p.Message)
		assert.NotEmpty(t, p.Hint)
		assert.LessOrEqual(t, p.Span.Start, len(p.Span.Source.Text))
		assert.LessOrEqual(t, p.Span.Start, p.Span.End)
		assert.NotEmpty(t, p.Text())
	}
}

// Whatever was read stays when a member is added, and the new member is there; or the files stay as they are.
func FuzzRead(f *testing.F) {
	door := newDoor(f, 1)
	key := text(f, door)
	wren, bo := memberKey(f, door, 2), memberKey(f, door, 3)
	f.Add(key, "members:\n  - {name: Wren, since: 2026-05-03, key: "+wren+"} # May\n  # by mail\n  - name: Bo\n    key: "+bo+"\n\n# end\n")
	f.Add("# ours\n"+key, "# nobody\n")
	f.Add(key, "members: [{name: \"a: b, #c\", key: '"+wren+"'}]\n")
	f.Add(key, "--- # x\n{members: }\n...\n# y")
	f.Add(key, "# ours\ndoor-key: 1 # first\nmembers:\n  - {name: Wren, key: "+wren+"}\n")
	f.Add(key, "{members: [], door-key: 2}\n")
	f.Add(key[:20], "members:\n\t- x\n")
	f.Add(key+"\n"+key, "members: [{name: &a x, key: *a}]")
	root, err := os.OpenRoot(f.TempDir())
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, keyFile, listFile string) {
		put(t, root, members.KeyFile, keyFile)
		put(t, root, members.ListFile, listFile)
		before, problems := members.Read(root.FS())
		inside(t, problems)
		for _, p := range problems.All() {
			assert.False(t, p.Span.File() == members.KeyFile && strings.Contains(p.Text(), "door1.1"), "the key is shown: %s", p.Text())
		}
		k, err := members.Open(t.Context(), root)
		require.Equal(t, problems.Len() == 0, err == nil)
		if err != nil {
			return
		}
		defer func() { require.NoError(t, k.Close()) }()
		if d, has := k.Door(); !has || !strings.HasPrefix(text(t, d), "door1.1.2.") {
			return // another door's rounds may take long
		}
		if _, there := before.Find("Mab"); there {
			return
		}
		_, err = k.Add(t.Context(), chance(4), day, "Mab")
		require.NoError(t, err)
		if err := k.Save(); err != nil {
			assert.Equal(t, listFile, get(t, root, members.ListFile))
			return
		}
		assert.Equal(t, append(names(before), "Mab"), names(read(t, root.FS())))
		require.NoError(t, k.Remove("mab"))
		require.NoError(t, k.Save())
		assert.Equal(t, before.Members(), read(t, root.FS()).Members())
	})
}

// A name is kept as it is, through the list and back.
func FuzzParseName(f *testing.F) {
	for _, name := range []string{"Wren Hollis", "Zoe\u0308", "a: b, #c", "null", "2026-05-03", "~x", "{x}", "'x", "x\\", "\u2028x", "0x1", "é\u200dx", "- x", "İ", "ǆ"} {
		f.Add(name)
	}
	root, err := os.OpenRoot(f.TempDir())
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, in string) {
		name, err := members.ParseName(in)
		if err != nil {
			assert.Empty(t, name)
			return
		}
		again, err := members.ParseName(name)
		require.NoError(t, err)
		require.Equal(t, name, again)
		assert.Equal(t, members.Key(in), members.Key(name))
		assert.Equal(t, members.Key(name), members.Key(members.Key(name)))
		put(t, root, members.KeyFile, text(t, newDoor(t, 1)))
		put(t, root, members.ListFile, "members:\n")
		add(t, root, 5, name)
		assert.Equal(t, []string{name}, names(read(t, root.FS())))
	})
}

// The names that are read are names, each in its cell.
func FuzzReadColumns(f *testing.F) {
	f.Add("Name,Mail\nWren,a@b\nwren,A@B\nWren,c@d\n", "Name", "mail")
	f.Add("sep=;\r\n\"Name\";x\r\n\"Hollis, \"\"Wren\"\"\";y\r\n", "name", "")
	f.Add(utf16LE("Name\tx\nZoë\ty\n"), "NAME", "x")
	f.Add("Name\n\"Wren", "Name", "")
	f.Add("", "", "")
	f.Fuzz(func(t *testing.T, text, column, email string) {
		rows, problems := members.ReadColumns("shop.csv", []byte(text), []string{column}, email)
		inside(t, problems)
		for _, r := range rows {
			assert.LessOrEqual(t, r.At.End, len(r.At.Source.Text))
			assert.False(t, strings.ContainsAny(r.Email, "\n\r\t ") || strings.HasPrefix(r.Email, "="), r.Email)
			if r.Name == "" {
				continue
			}
			name, err := members.ParseName(r.Name)
			require.NoError(t, err)
			assert.Equal(t, r.Name, name)
			first := []rune(name)[0]
			assert.Contains(t, members.Key(r.At.Source.Text[r.At.Start:]), members.Key(string(first)), "the place is not that of the name")
		}
	})
}
