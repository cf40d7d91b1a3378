package seal_test

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

const (
	page = "recipes/rose-cream/index.html"
	html = "text/html; charset=utf-8"
)

func sealed(t testing.TB, k seal.ContentKey, path, mediaType string, plain []byte) []byte {
	t.Helper()
	s, err := k.Seal(path, mediaType, plain)
	require.NoError(t, err)
	return s
}

func TestSealedPageOpensOnlyAsItself(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	k := d.ContentKey()
	plain := []byte("<h1>Rose cream</h1>")
	s := sealed(t, k, page, html, plain)
	got, err := k.Open(page, html, s)
	require.NoError(t, err)
	assert.Equal(t, plain, got)
	assert.NotContains(t, string(s), "Rose")

	for name, open := range map[string]func() ([]byte, error){
		"another path":     func() ([]byte, error) { return k.Open("recipes/rose-balm/index.html", html, s) },
		"no path":          func() ([]byte, error) { return k.Open("", html, s) },
		"a path run on":    func() ([]byte, error) { return k.Open(page+"\x00"+html, "", s) },
		"another type":     func() ([]byte, error) { return k.Open(page, "text/html", s) },
		"the next epoch":   func() ([]byte, error) { return d.NextEpoch().ContentKey().Open(page, html, s) },
		"another site":     func() ([]byte, error) { return newDoor(t, 2).ContentKey().Open(page, html, s) },
		"another's bytes":  func() ([]byte, error) { return k.Open(page, html, sealed(t, k, "b", html, plain)) },
		"a byte more":      func() ([]byte, error) { return k.Open(page, html, append(bytes.Clone(s), 0)) },
		"nothing":          func() ([]byte, error) { return k.Open(page, html, nil) },
		"a nonce and tag":  func() ([]byte, error) { return k.Open(page, html, s[:28]) },
		"the start is cut": func() ([]byte, error) { return k.Open(page, html, s[1:]) },
	} {
		got, err := open()
		assert.ErrorIs(t, err, seal.ErrDamaged, name)
		assert.Nil(t, got, name)
	}
}

func TestAnyChangedByteFails(t *testing.T) {
	t.Parallel()
	k := newDoor(t, 1).ContentKey()
	s := sealed(t, k, page, html, []byte("<h1>Rose cream</h1>"))
	for i := range s {
		s[i] ^= 1 << (i % 8)
		got, err := k.Open(page, html, s)
		require.ErrorIs(t, err, seal.ErrDamaged, "byte %d", i)
		require.Nil(t, got)
		s[i] ^= 1 << (i % 8)
	}
}

func TestSealRefuses(t *testing.T) {
	t.Parallel()
	k := newDoor(t, 1).ContentKey()
	for _, text := range []string{"", "a\x00b", "a\nb", "a\x7f", "a\xff"} {
		_, err := k.Seal(text, html, nil)
		assert.ErrorContains(t, err, "cannot be the path of a page", "%q", text)
		_, err = k.Seal(page, text, nil)
		assert.ErrorContains(t, err, "cannot be the media type of a page", "%q", text)
	}
	_, err := k.Seal(page, html, make([]byte, seal.MaxPage+1))
	assert.ErrorContains(t, err, "more than 33554432 bytes")
}

func TestPaddedSize(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]int{
		1: 4096, 4095: 4096, 4096: 4096, 4097: 8192, 20_000: 20_480, 65_535: 65_536, 65_536: 65_536,
		65_537: 73_728, 73_729: 81_920, 131_072: 131_072, 131_073: 147_456, 1_000_000: 1_048_576, 1_048_577: 1_179_648,
	} {
		assert.Equal(t, want, seal.PaddedSize(n), "%d", n)
	}
	last := 0
	for n := 1; n < 1<<21; n += 997 {
		size := seal.PaddedSize(n)
		assert.GreaterOrEqual(t, size, max(n, last))
		assert.Less(t, size-n, max(4096, n/8+1), "%d: more than an eighth is added", n)
		assert.Equal(t, size, seal.PaddedSize(size), "%d: the size of what is padded changes", n)
		last = size
	}
}

func TestSizeTellsLittle(t *testing.T) {
	t.Parallel()
	k := newDoor(t, 1).ContentKey()
	for _, plain := range []string{"", "x", strings.Repeat("rose ", 3000)} {
		assert.Len(t, sealed(t, k, page, html, []byte(plain)), 4096+28)
	}
	assert.Len(t, sealed(t, k, page, "image/jpeg", make([]byte, 100_000)), 106_496+28, "a picture is not compressed")
	assert.Len(t, sealed(t, k, page, "image/svg+xml", make([]byte, 100_000)), 4096+28, "a drawing is")
}

// layout writes a packed page by hand.
func layout(coding byte, length uint32, data []byte) []byte {
	head := binary.BigEndian.AppendUint32([]byte{coding}, length)
	return seal.Pad(append(head, data...))
}

func zipped(t testing.TB, plain []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	require.NoError(t, err)
	_, err = w.Write(plain)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

// badLayouts are what only someone with the key can seal, and no one should.
func badLayouts(t testing.TB) map[string][]byte {
	t.Helper()
	good := zipped(t, []byte("rose"))
	wrongSum := slices.Clone(good)
	wrongSum[len(wrongSum)-5] ^= 1
	dirty := layout(0, 4, []byte("rose"))
	dirty[len(dirty)-1] = 1
	return map[string][]byte{
		"nothing":                 {},
		"less than a head":        {0, 0, 0, 0},
		"no padding":              {0, 0, 0, 0, 0},
		"another coding":          layout(2, 4, []byte("rose")),
		"longer than it is":       layout(0, 4092, []byte("rose")),
		"the greatest length":     layout(0, 1<<32-1, []byte("rose")),
		"a step too many":         append(layout(0, 4, []byte("rose")), make([]byte, 4096)...),
		"padding that is used":    dirty,
		"no gzip":                 layout(1, 4, []byte("rose")),
		"empty gzip":              layout(1, 0, nil),
		"gzip cut short":          layout(1, uint32(len(good)-1), good[:len(good)-1]),
		"gzip with a wrong sum":   layout(1, uint32(len(good)), wrongSum),
		"two gzip members":        layout(1, uint32(2*len(good)), slices.Concat(good, good)),
		"something behind gzip":   layout(1, uint32(len(good)+1), append(slices.Clone(good), 'x')),
		"padding counted as gzip": layout(1, uint32(len(good)+1), append(slices.Clone(good), 0)),
	}
}

func TestOpenRefusesLayouts(t *testing.T) {
	t.Parallel()
	k := newDoor(t, 1).ContentKey()
	good, err := k.Open(page, html, k.ClosePacked(page, html, layout(1, uint32(len(zipped(t, []byte("rose")))), zipped(t, []byte("rose")))))
	require.NoError(t, err)
	require.Equal(t, "rose", string(good), "the layouts below differ from this good one")
	for name, packed := range badLayouts(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, err := k.Open(page, html, k.ClosePacked(page, html, packed))
			assert.ErrorIs(t, err, seal.ErrDamaged)
			assert.Nil(t, got)
		})
	}
}

// The bound holds to the byte, also for what is small before it is unzipped.
func TestLargestPage(t *testing.T) {
	t.Parallel()
	plain := make([]byte, seal.MaxPage+1)
	got, ok := seal.Unpack(seal.Pack(plain[1:], seal.AsIs))
	assert.True(t, ok && bytes.Equal(plain[1:], got))
	got, ok = seal.Unpack(seal.Pack(plain, seal.AsIs))
	assert.False(t, ok)
	assert.Nil(t, got)

	got, ok = seal.Unpack(seal.Pack(plain[1:], seal.Gzipped))
	assert.True(t, ok && bytes.Equal(plain[1:], got))
	bomb := seal.Pack(plain, seal.Gzipped)
	assert.Less(t, len(bomb), 1<<18)
	got, ok = seal.Unpack(bomb)
	assert.False(t, ok)
	assert.Nil(t, got)
}
