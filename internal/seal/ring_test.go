package seal_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

func TestRingUnlocksForEveryMemberAndNobodyElse(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	codes, members := admit(t, d, 20)
	r, err := seal.ParseRing(ring(t, d, members...).JSON())
	require.NoError(t, err)
	for _, c := range codes {
		key, err := r.Unlock(c)
		require.NoError(t, err)
		assert.Equal(t, d.ContentKey(), key)
	}
	_, err = r.Unlock(newCode(t, chance(50)))
	assert.ErrorIs(t, err, seal.ErrUnknown)
	assert.NotErrorIs(t, err, seal.ErrSlip)
}

func TestRemovedMemberIsShutOut(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	codes, members := admit(t, d, 3)
	before := ring(t, d, members...)
	next := d.NextEpoch()
	after := ring(t, next, members[0], members[2])
	assert.Equal(t, uint32(2), after.Epoch())

	old, err := before.Unlock(codes[1])
	require.NoError(t, err)
	_, err = after.Unlock(codes[1])
	assert.ErrorIs(t, err, seal.ErrUnknown)
	sealed, err := next.ContentKey().Seal("a", "text/html", []byte("new"))
	require.NoError(t, err)
	_, err = old.Open("a", "text/html", sealed)
	assert.ErrorIs(t, err, seal.ErrDamaged, "the old key opens a new page")
	key, err := after.Unlock(codes[2])
	require.NoError(t, err)
	plain, err := key.Open("a", "text/html", sealed)
	require.NoError(t, err)
	assert.Equal(t, "new", string(plain))
	assert.Equal(t, []uint32{1, 2}, []uint32{old.Epoch(), key.Epoch()})
}

func TestRingHidesHowManyMembersThereAre(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 33)
	for n, want := range map[int]int{0: 16, 1: 16, 15: 16, 16: 16, 17: 32, 32: 32, 33: 48} {
		r := ring(t, d, members[:n]...)
		assert.Len(t, r.Locators(), want, "%d members", n)
	}
	_, site, _ := d.Parts()
	one := string(ring(t, d).JSON())
	assert.Len(t, one, len(ring(t, d, members[:9]...).JSON()), "the size tells the number")
	assert.True(t, strings.HasPrefix(one, `{"version":1,"salt":"`+site+`","rounds":2,"epoch":1,"entries":{"`), one)
}

// Rings of two epochs show no difference between members and decoys: the locators stay and the entries change.
func TestDecoysChangeAsMembersDo(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 5)
	first, second := ring(t, d, members...).Locators(), ring(t, d.NextEpoch(), members...).Locators()
	assert.Equal(t, slices.Sorted(maps.Keys(first)), slices.Sorted(maps.Keys(second)))
	for at := range first {
		assert.NotEqual(t, first[at], second[at])
	}
	other := ring(t, newDoor(t, 2)).Locators()
	for at := range other {
		assert.NotContains(t, first, at, "decoys of another door")
	}
}

func TestRingIsStable(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 7)
	want := ring(t, d, members...).JSON()
	slices.Reverse(members)
	assert.Equal(t, string(want), string(ring(t, d, members...).JSON()))
	at := slices.Sorted(maps.Keys(ring(t, d, members...).Locators()))
	last := -1
	for _, locator := range at {
		here := strings.Index(string(want), locator)
		assert.Greater(t, here, last, "entries are not sorted")
		last = here
	}
}

func TestRingRefusesLists(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 2)
	_, err := d.Ring([]seal.Member{members[0], members[1], members[0]})
	assert.ErrorContains(t, err, members[0].Locator()[:8]+" is listed twice")
	_, err = d.Ring(make([]seal.Member, 4097))
	assert.ErrorContains(t, err, "4097 members: a ring holds 4096")
}

// badRings are changes to a good ring's JSON.
func badRings(t testing.TB) map[string]string {
	t.Helper()
	d := newDoor(t, 1)
	good := string(ring(t, d).JSON())
	_, site, _ := d.Parts()
	replace := func(from, to string) string {
		require.Contains(t, good, from)
		return strings.Replace(good, from, to, 1)
	}
	var f map[string]any
	require.NoError(t, json.Unmarshal([]byte(good), &f))
	entries := f["entries"].(map[string]any)
	at := slices.Sorted(maps.Keys(entries))
	entry := fmt.Sprintf("%q:%q", at[0], entries[at[0]])
	return map[string]string{
		"nothing":              "",
		"no JSON":              "the door is shut",
		"null":                 "null",
		"an array":             "[]",
		"nested deep":          strings.Repeat("[", 1<<18),
		"a line break":         good + "\n",
		"white space":          replace(`"salt":`, `"salt": `),
		"another order":        replace(`"version":1,"salt":"`+site+`",`, `"salt":"`+site+`","version":1,`),
		"more keys":            replace(`"version":1,`, `"version":1,"more":1,`),
		"another case":         replace(`"rounds"`, `"Rounds"`),
		"version 2":            replace(`"version":1`, `"version":2`),
		"no version":           replace(`"version":1,`, ``),
		"a short salt":         replace(site, site[2:]),
		"a salt that is none":  replace(site, strings.Repeat("g", 32)),
		"a salt in capitals":   replace(site, strings.Repeat("AB", 16)),
		"no rounds":            replace(`"rounds":2`, `"rounds":0`),
		"too many rounds":      replace(`"rounds":2`, `"rounds":10000001`),
		"rounds that overflow": replace(`"rounds":2`, `"rounds":99999999999999999999`),
		"epoch 0":              replace(`"epoch":1`, `"epoch":0`),
		"too great an epoch":   replace(`"epoch":1`, `"epoch":1000000001`),
		"a negative epoch":     replace(`"epoch":1`, `"epoch":-1`),
		"no entries":           good[:strings.Index(good, `"entries"`)] + `"entries":{}}`,
		"15 entries":           replace(entry+",", ""),
		"an entry twice":       replace(entry, entry+","+entry),
		"a short locator":      replace(at[0], at[0][2:]),
		"a short entry":        replace(entry, fmt.Sprintf("%q:%q", at[0], "AAAA")),
		"an entry that is none": replace(
			entry, fmt.Sprintf("%q:%q", at[0], strings.Repeat("*", 80))),
		"a break in an entry": replace(entry, fmt.Sprintf("%q:%q", at[0], strings.Repeat("A", 78)+"\n\n")),
		"too large":           good + strings.Repeat(" ", 1<<20),
	}
}

func TestParseRingRefuses(t *testing.T) {
	t.Parallel()
	for name, text := range badRings(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r, err := seal.ParseRing([]byte(text))
			assert.ErrorIs(t, err, seal.ErrDamaged)
			assert.Empty(t, r.Locators())
		})
	}
}

func TestParseRingReadsNoMoreThanItMust(t *testing.T) {
	t.Parallel()
	_, err := seal.ParseRing([]byte(badRings(t)["too large"]))
	assert.ErrorContains(t, err, "larger than 1048576 bytes")
}

// An entry in another member's place, of another epoch or of another site does not open.
func TestChangedRingDoesNotUnlock(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	codes, members := admit(t, d, 2)
	good := string(ring(t, d, members...).JSON())
	all := ring(t, d, members...).Locators()
	a, b := all[members[0].Locator()], all[members[1].Locator()]
	later := ring(t, d.NextEpoch(), members...).Locators()[members[0].Locator()]
	for name, text := range map[string]string{
		"a sign changed":        strings.Replace(good, a[:40], flipped(a[:40]), 1),
		"another's entry":       strings.Replace(good, a, b, 1),
		"a later epoch's entry": strings.Replace(good, a, later, 1),
		"the epoch raised":      strings.Replace(good, `"epoch":1`, `"epoch":2`, 1),
	} {
		r, err := seal.ParseRing([]byte(text))
		require.NoError(t, err, name)
		_, err = r.Unlock(codes[0])
		assert.ErrorIs(t, err, seal.ErrDamaged, name)
	}
	for name, text := range map[string]string{
		"rounds changed": strings.Replace(good, `"rounds":2`, `"rounds":3`, 1),
		"salt changed":   strings.Replace(good, `"salt":"`, `"salt":"00`, 1),
	} {
		if name == "salt changed" {
			text = text[:strings.Index(text, `","rounds"`)-2] + text[strings.Index(text, `","rounds"`):]
		}
		r, err := seal.ParseRing([]byte(text))
		require.NoError(t, err, name)
		_, err = r.Unlock(codes[0])
		assert.ErrorIs(t, err, seal.ErrUnknown, name)
	}
}

// flipped changes the last sign of a base64 text.
func flipped(s string) string {
	if strings.HasSuffix(s, "A") {
		return s[:len(s)-1] + "B"
	}
	return s[:len(s)-1] + "A"
}
