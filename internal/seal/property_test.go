package seal_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/seal"
)

var (
	paths = rapid.StringMatching(`[a-z0-9/_.-]{1,40}|[ -~äöüß]{1,20}`)
	types = rapid.SampledFrom([]string{html, "text/css", "application/json", "image/jpeg", "image/svg+xml", "font/woff2"})
	texts = rapid.Custom(func(t *rapid.T) []byte {
		return bytes.Repeat(rapid.SliceOfN(rapid.Byte(), 0, 200).Draw(t, "text"), rapid.IntRange(1, 500).Draw(t, "times"))
	})
)

func drawDoor(t *rapid.T) seal.Door {
	d, err := seal.NewDoor(bytes.NewReader(rapid.SliceOfN(rapid.Byte(), 48, 48).Draw(t, "random")), few)
	require.NoError(t, err)
	for range rapid.IntRange(0, 3).Draw(t, "epochs") {
		d = d.NextEpoch()
	}
	return d
}

func TestOpenUndoesSeal(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		k := drawDoor(t).ContentKey()
		path, mediaType, plain := paths.Draw(t, "path"), types.Draw(t, "type"), texts.Draw(t, "plain")
		s, err := k.Seal(path, mediaType, plain)
		require.NoError(t, err)
		again, err := k.Seal(path, mediaType, bytes.Clone(plain))
		require.NoError(t, err)
		assert.Equal(t, s, again, "equal input, other bytes")
		got, err := k.Open(path, mediaType, s)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(plain, got))
	})
}

func TestAnythingElseFails(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDoor(t)
		k := d.ContentKey()
		path, mediaType := paths.Draw(t, "path"), types.Draw(t, "type")
		s, err := k.Seal(path, mediaType, texts.Draw(t, "plain"))
		require.NoError(t, err)
		otherPath, otherType := paths.Draw(t, "other path"), types.Draw(t, "other type")
		if otherPath != path || otherType != mediaType {
			fails(t, k, otherPath, otherType, s)
		}
		fails(t, d.NextEpoch().ContentKey(), path, mediaType, s)
		if other := drawDoor(t); other != d {
			fails(t, other.ContentKey(), path, mediaType, s)
		}
		s[rapid.IntRange(0, len(s)-1).Draw(t, "at")] ^= rapid.ByteRange(1, 255).Draw(t, "change")
		fails(t, k, path, mediaType, s)
	})
}

func fails(t *rapid.T, k seal.ContentKey, path, mediaType string, s []byte) {
	got, err := k.Open(path, mediaType, s)
	assert.ErrorIs(t, err, seal.ErrDamaged)
	assert.Nil(t, got)
}

// Other text under the same key has another nonce.
func TestNoncesDiffer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		k := drawDoor(t).ContentKey()
		a, b := texts.Draw(t, "a"), texts.Draw(t, "b")
		x, err := k.Seal(page, html, a)
		require.NoError(t, err)
		y, err := k.Seal(page, html, b)
		require.NoError(t, err)
		assert.Equal(t, bytes.Equal(a, b), bytes.Equal(x[:12], y[:12]))
	})
}

// Whatever happens to the members' list, those on it get in and those off it do not, and all that is kept survives being kept.
func TestRingFollowsTheList(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawDoor(t)
		random := chance(rapid.Byte().Draw(t, "codes"))
		var in, out []seal.Code
		var members []seal.Member
		for _, add := range rapid.SliceOfN(rapid.Bool(), 0, 24).Draw(t, "adding") {
			if !add && len(in) > 0 {
				i := rapid.IntRange(0, len(in)-1).Draw(t, "who")
				out = append(out, in[i])
				in = append(in[:i:i], in[i+1:]...)
				members = append(members[:i:i], members[i+1:]...)
				d = kept(t, d.NextEpoch())
				continue
			}
			c, err := seal.NewCode(random)
			require.NoError(t, err)
			in, members = append(in, c), append(members, d.Admit(c))
		}
		r, err := d.Ring(members)
		require.NoError(t, err)
		assert.Zero(t, len(r.Locators())%16)
		for _, c := range in {
			key, err := r.Unlock(c)
			require.NoError(t, err)
			assert.Equal(t, d.ContentKey(), key)
		}
		for _, c := range out {
			_, err := r.Unlock(c)
			assert.ErrorIs(t, err, seal.ErrUnknown)
		}
	})
}

// kept writes a door and reads it again.
func kept(t *rapid.T, d seal.Door) (again seal.Door) {
	line, err := d.MarshalText()
	require.NoError(t, err)
	require.NoError(t, again.UnmarshalText(line))
	return again
}
