package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/seal"
)

// codePattern finds an access code.
var codePattern = regexp.MustCompile(`[0-9A-HJKMNP-TV-Z]{5}(-[0-9A-HJKMNP-TV-Z]{5}){3}-[0-9A-HJKMNP-TV-Z]`)

// readMembers reads a handbook's members.
func readMembers(t *testing.T, dir string) *members.List {
	t.Helper()
	list, problems := members.Read(os.DirFS(dir))
	require.NoError(t, problems.Err())
	return list
}

// opens says whether a code opens a handbook's door.
func opens(t *testing.T, dir, code string) bool {
	t.Helper()
	ring, err := readMembers(t, dir).Ring()
	require.NoError(t, err)
	c, err := seal.ParseCode(code)
	require.NoError(t, err)
	_, err = ring.Unlock(c)
	return err == nil
}

// The code that is shown, and the one in the letter, is the member's; it is nowhere else, and after removal it opens nothing.
func TestMembersCodeOpensTheDoor(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "handbook")
	require.Zero(t, run([]string{"begin", dir}, nil, io.Discard, io.Discard))
	var out, talk strings.Builder
	require.Zero(t, run([]string{"members", "add", "Wren Hollis", "--in", dir}, nil, &out, &talk), talk.String())
	codes := codePattern.FindAllString(out.String(), -1)
	require.Len(t, codes, 2)
	assert.Equal(t, codes[0], codes[1])
	assert.NotContains(t, talk.String(), codes[0])
	assert.True(t, opens(t, dir, strings.ToLower(strings.ReplaceAll(codes[0], "-", " "))))
	for name, text := range filesUnder(t, dir) {
		assert.NotContains(t, text, codes[0], name)
	}
	require.Zero(t, run([]string{"members", "remove", "Wren Hollis", "--in", dir}, nil, &out, &talk), talk.String())
	assert.False(t, opens(t, dir, codes[0]))
}

// Codes that cannot be shown are told of.
func TestMembersCodesThatCannotBeShown(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "handbook")
	require.Zero(t, run([]string{"begin", dir}, nil, io.Discard, io.Discard))
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, reader.Close())
	require.NoError(t, writer.Close())
	var talk strings.Builder
	assert.Equal(t, unreadable, run([]string{"members", "add", "Wren", "--in", dir}, nil, writer, &talk))
	assert.Contains(t, talk.String(), "remove these members and add them again")
}

// Commands at once wait for each other: everyone is on the list, and every code opens the door.
func TestMembersAddedAtOnce(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "handbook")
	require.Zero(t, run([]string{"begin", dir}, nil, io.Discard, io.Discard))
	names := []string{"Wren", "Isla", "Bo"}
	outs := make([]strings.Builder, len(names))
	var all sync.WaitGroup
	for i, name := range names {
		all.Go(func() {
			var talk strings.Builder
			assert.Zero(t, run([]string{"members", "add", name, "--in", dir}, nil, &outs[i], &talk), talk.String())
		})
	}
	all.Wait()
	assert.Len(t, readMembers(t, dir).Members(), len(names))
	for i := range outs {
		assert.True(t, opens(t, dir, codePattern.FindString(outs[i].String())))
	}
}

// The demonstration's door and its sample reader are for show, say so, and work.
func TestDemonstrationsDoor(t *testing.T) {
	t.Parallel()
	files := map[string]string{}
	for _, name := range []string{members.KeyFile, members.ListFile} {
		raw, err := os.ReadFile(filepath.Join("../../content", name))
		require.NoError(t, err)
		files[name] = string(raw)
		assert.Contains(t, files[name], "For show")
		assert.Contains(t, files[name], "never committed")
	}
	assert.Empty(t, codePattern.FindString(files[members.KeyFile]))
	codes := codePattern.FindAllString(files[members.ListFile], -1)
	require.Len(t, codes, 1, "the sample reader's code")
	assert.True(t, opens(t, "../../content", codes[0]))
	list := readMembers(t, "../../content")
	require.Len(t, list.Members(), 1)
	door, _ := list.Door()
	line, err := door.MarshalText()
	require.NoError(t, err)
	assert.Contains(t, string(line), "door1.1.600000.")
}

// Nothing of the door's key, of the members and of their codes gets into any edition.
func TestNothingOfTheMembersIsPublished(t *testing.T) {
	t.Parallel()
	canaries := memberCanaries(t)
	source := filesUnder(t, "../../content")
	found := map[string]bool{}
	for _, text := range source {
		for _, c := range canaries {
			found[c] = found[c] || strings.Contains(text, c)
		}
	}
	for _, c := range []string{"A sample reader", "door1."} {
		assert.True(t, found[c], "%q is not looked for in the form in which it is written", c)
	}
	outputs := map[string]string{"the repository": "../../public"}
	for _, edition := range []string{"open", "members", "maker"} {
		outputs[edition] = filepath.Join(t.TempDir(), edition)
		var talk bytes.Buffer
		require.Zero(t, run([]string{"publish", "../../content", "--edition", edition, "--to", outputs[edition]}, nil, io.Discard, &talk), talk.String())
	}
	for edition, dir := range outputs {
		for name, text := range filesUnder(t, dir) {
			assert.NotContains(t, []string{members.KeyFile, members.ListFile}, filepath.Base(name), edition)
			for _, c := range canaries {
				assert.False(t, strings.Contains(text, c), "%q is in %s of %s", c, name, edition)
			}
		}
	}
}

// memberCanaries gives all that must not be found: names, the key's line and its secret, the members' lines and what is sealed in them, and
// the code in several forms.
func memberCanaries(t *testing.T) []string {
	t.Helper()
	list := readMembers(t, "../../content")
	door, _ := list.Door()
	line, err := door.MarshalText()
	require.NoError(t, err)
	all := []string{"door1.", "member1.", string(line), strings.Split(string(line), ".")[4]}
	for _, m := range list.Members() {
		key, err := m.Key.MarshalText()
		require.NoError(t, err)
		all = append(all, m.Name, string(key), strings.Split(string(key), ".")[2])
	}
	raw, err := os.ReadFile(filepath.Join("../../content", members.ListFile))
	require.NoError(t, err)
	for _, code := range codePattern.FindAllString(string(raw), -1) {
		joined := strings.ReplaceAll(code, "-", "")
		all = append(all, code, joined, joined[:20], strings.ToLower(joined[:20]), strings.ToLower(code))
	}
	require.Len(t, all, 4+3+5)
	return all
}
