package picture_test

import (
	"bytes"
	"image"
	"image/gif"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// encodedGIF is an animation of two pictures that is shown three times more.
func encodedGIF(t testing.TB) []byte {
	second := sample()
	for i := range second.Pix {
		second.Pix[i] = 3 - second.Pix[i]
	}
	var b bytes.Buffer
	all := &gif.GIF{Image: []*image.Paletted{sample(), second}, Delay: []int{7, 9}, LoopCount: 3}
	require.NoError(t, gif.EncodeAll(&b, all))
	return b.Bytes()
}

// movingGIF has all that programs write beside the pictures. Blocks: GIF89a, 24 to 26 (from memory).
func movingGIF(t testing.TB) []byte {
	plain := encodedGIF(t)
	first := bytes.Index(plain, []byte("\x21\xFF\x0BNETSCAPE2.0"))
	require.Positive(t, first)
	control := first + 19
	require.Equal(t, "\x21\xF9\x04", string(plain[control:control+3]))
	return bytes.Join([][]byte{
		plain[:first],
		[]byte("\x21\xFE\x11workshop at night\x00"),
		[]byte("\x21\xFF\x0BXMP DataXMP\x14wren@larkrow.example\x00"),
		plain[first : first+18],
		[]byte("\x05\x02\x01\x02\x03\x04\x00"), // how much to read ahead
		plain[control : control+8],
		[]byte("\x21\xFE\x11workshop at night\x00"), // between a picture and what is said of it
		plain[control+8 : len(plain)-1],
		[]byte("\x21\xF9\x04\x00\x63\x00\x00\x00"),
		[]byte("\x21\x01\x0C\x00\x00\x00\x00\x01\x00\x01\x00\x08\x08\x00\x01\x11workshop at night\x00"),
		[]byte("\x3Bafter the end"),
	}, nil)
}

func TestGIF(t *testing.T) {
	t.Parallel()
	plain := encodedGIF(t)
	assert.Equal(t, plain, clean(t, "jar.gif", plain), "a plain picture changed")
	out := clean(t, "jar.gif", movingGIF(t))
	assert.Equal(t, plain, out)
	all, err := gif.DecodeAll(bytes.NewReader(out))
	require.NoError(t, err)
	assert.Equal(t, 3, all.LoopCount)
	assert.Equal(t, []int{7, 9}, all.Delay)
	require.Len(t, all.Image, 2)
	assertSamePixels(t, sample(), all.Image[0])
}
