package seal_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

func FuzzParseCode(f *testing.F) {
	for _, typed := range goodCodes {
		f.Add(typed)
	}
	for _, slip := range slips {
		f.Add(slip.typed)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		c, err := seal.ParseCode(typed)
		if err != nil {
			assert.ErrorIs(t, err, seal.ErrSlip)
			assert.Zero(t, c)
			return
		}
		assert.Regexp(t, shown, c.String())
		for _, spelling := range []string{c.String(), strings.ToLower(c.String()), strings.ReplaceAll(c.String(), "-", ""), typed + " "} {
			again, err := seal.ParseCode(spelling)
			require.NoError(t, err, "%q was read as %s", typed, c)
			assert.Equal(t, c, again)
		}
	})
}

// What nobody sealed does not open, whatever it is opened as.
func FuzzOpen(f *testing.F) {
	k := newDoor(f, 1).ContentKey()
	plain := []byte("<h1>Rose cream</h1>")
	good := sealed(f, k, page, html, plain)
	f.Add(page, html, good)
	f.Add(page, "text/html", good)
	f.Add(page, html, good[:100])
	f.Add("", "", []byte{})
	f.Fuzz(func(t *testing.T, path, mediaType string, s []byte) {
		got, err := k.Open(path, mediaType, s)
		if err == nil {
			assert.Equal(t, []string{page, html}, []string{path, mediaType})
			assert.Equal(t, good, s, "a forgery opens")
			assert.Equal(t, plain, got)
			return
		}
		assert.ErrorIs(t, err, seal.ErrDamaged)
		assert.Nil(t, got)
	})
}

// What someone with the key sealed opens as what pack could have laid out, or not at all.
func FuzzUnpack(f *testing.F) {
	for _, packed := range badLayouts(f) {
		f.Add(packed)
	}
	f.Add(seal.Pack([]byte("rose"), seal.AsIs))
	f.Add(seal.Pack([]byte("rose"), seal.Gzipped))
	f.Fuzz(func(t *testing.T, packed []byte) {
		before := bytes.Clone(packed)
		plain, ok := seal.Unpack(packed)
		assert.Equal(t, before, packed, "the input was changed")
		if !ok {
			assert.Nil(t, plain)
			return
		}
		assert.LessOrEqual(t, len(plain), seal.MaxPage)
		assert.Len(t, packed, seal.PaddedSize(len(packed)))
		if packed[0] == byte(seal.AsIs) {
			assert.Equal(t, packed, seal.Pack(plain, seal.AsIs), "another layout of the same")
		}
		again, ok := seal.Unpack(seal.Pack(plain, seal.Gzipped))
		require.True(t, ok)
		assert.True(t, bytes.Equal(plain, again))
	})
}

func FuzzParseRing(f *testing.F) {
	d := newDoor(f, 1)
	codes, members := admit(f, d, 3)
	f.Add(ring(f, d, members...).JSON())
	for name, text := range badRings(f) {
		if name != "too large" && name != "nested deep" {
			f.Add([]byte(text))
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := seal.ParseRing(text)
		if err != nil {
			assert.ErrorIs(t, err, seal.ErrDamaged)
			assert.Empty(t, r.Locators())
			return
		}
		assert.Equal(t, string(text), string(r.JSON()), "what was read is written otherwise")
		assert.Zero(t, len(r.Locators())%16)
		assert.NotZero(t, r.Epoch())
		if bytes.Contains(text, []byte(`"rounds":2,`)) { // others may take long, as they should
			if key, err := r.Unlock(codes[0]); err == nil {
				assert.Equal(t, d.ContentKey(), key, "a key that the door never gave")
			}
		}
	})
}

func FuzzDoorLine(f *testing.F) {
	line := text(f, newDoor(f, 1))
	for _, seed := range []string{line, line[:40], "", "door1......", "door2." + line[6:]} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, line string) {
		var d seal.Door
		if err := d.UnmarshalText([]byte(line)); err != nil {
			assert.ErrorIs(t, err, seal.ErrDamaged)
			assert.Equal(t, seal.Door{}, d)
			return
		}
		assert.Equal(t, strings.TrimSpace(line), text(t, d))
		assert.Positive(t, d.Epoch())
	})
}

func FuzzMemberLine(f *testing.F) {
	d := newDoor(f, 1)
	_, members := admit(f, d, 1)
	line := text(f, members[0])
	for _, seed := range []string{line, line[:40], "", "member1..", line[:len(line)-2] + "\n="} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, line string) {
		var m seal.Member
		if err := m.UnmarshalText([]byte(line)); err != nil {
			assert.ErrorIs(t, err, seal.ErrDamaged)
			assert.Equal(t, seal.Member{}, m)
			return
		}
		assert.Equal(t, strings.TrimSpace(line), text(t, m))
		if _, err := d.Ring([]seal.Member{m}); err == nil {
			assert.Equal(t, members[0], m, "a forged member is let in")
		}
	})
}
