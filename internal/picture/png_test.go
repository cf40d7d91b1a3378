package picture_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/picture"
)

func encodedPNG(t testing.TB) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, sample()))
	return b.Bytes()
}

// pngChunk is a chunk as PNG, third edition, 5.3 has it (from memory).
func pngChunk(kind, data string) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

const pngHead = 8 + 25 // the signature and IHDR

// chart is the sample with all that programs write beside it.
func chart(t testing.TB) []byte {
	plain := encodedPNG(t)
	end := len(plain) - 12
	return bytes.Join([][]byte{
		plain[:pngHead],
		pngChunk("gAMA", "\x00\x00\xB1\x8F"),
		pngChunk("sRGB", "\x00"),
		pngChunk("pHYs", "\x00\x00\x0B\x13\x00\x00\x0B\x13\x01"),
		pngChunk("tIME", "1998:07:14 06:55:02"),
		pngChunk("tEXt", "Author\x00wren@larkrow.example"),
		pngChunk("iTXt", "XML:com.adobe.xmp\x00\x00\x00\x00\x00workshop at night"),
		pngChunk("zTXt", "Comment\x00\x00old thumbnail"),
		pngChunk("eXIf", exif(binary.LittleEndian, 8)),
		pngChunk("prVt", "workshop at night"),
		plain[pngHead:end],
		pngChunk("tEXt", "Comment\x00workshop at night"),
		plain[end:],
		[]byte("after the end"),
	}, nil)
}

func TestPNG(t *testing.T) {
	t.Parallel()
	data, plain := chart(t), encodedPNG(t)
	out := clean(t, "jar.png", data)
	assertSamePixels(t, pixels(t, data), pixels(t, out))
	want := bytes.Join([][]byte{
		plain[:pngHead],
		pngChunk("gAMA", "\x00\x00\xB1\x8F"),
		pngChunk("sRGB", "\x00"),
		pngChunk("pHYs", "\x00\x00\x0B\x13\x00\x00\x0B\x13\x01"),
		pngChunk("eXIf", "II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x08\x00\x00\x00\x00\x00\x00\x00"),
		plain[pngHead:],
	}, nil)
	assert.Equal(t, want, out)
	assert.Equal(t, plain, clean(t, "jar.png", plain), "a plain picture changed")
}

func TestDamagedPNG(t *testing.T) {
	t.Parallel()
	plain := encodedPNG(t)
	flipped := bytes.Clone(plain)
	flipped[len(plain)-20] ^= 1
	tests := map[string]struct {
		data []byte
		want string
	}{
		"flipped bit":          {flipped, "check sum of its part IDAT"},
		"two headers":          {bytes.Join([][]byte{plain[:pngHead], plain[8:]}, nil), "out of order"},
		"no header":            {bytes.Join([][]byte{plain[:8], plain[pngHead:]}, nil), "out of order"},
		"no data":              {bytes.Join([][]byte{plain[:pngHead], pngChunk("IEND", "")}, nil), "out of order"},
		"unknown critical":     {bytes.Join([][]byte{plain[:pngHead], pngChunk("CgBI", "\x00"), plain[pngHead:]}, nil), "do not know"},
		"kind that is no name": {bytes.Join([][]byte{plain[:pngHead], pngChunk("t\x00Xt", ""), plain[pngHead:]}, nil), "damaged"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := picture.Clean("jar.png", test.data)
			require.ErrorContains(t, err, test.want)
		})
	}
}
