package site

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// place is where a photograph was taken, as its file says it: 9995/3 degrees.
const place = "\x00\x00\x27\x0b\x00\x00\x00\x03"

// photograph is a JPEG picture that says in all the ways of its kind what readers are not to have; each word is the mark and a part's name.
func photograph(t testing.TB, marked string) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 16, 8)), nil))
	plain := b.Bytes()
	segment := func(kind byte, text string) []byte {
		return append(binary.BigEndian.AppendUint16([]byte{0xFF, kind}, uint16(len(text)+2)), text...)
	}
	return bytes.Join([][]byte{
		plain[:2], segment(0xE1, "Exif\x00\x00"+exif(marked)), segment(0xE1, "http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>"+marked+"xmp</x:xmpmeta>"),
		segment(0xED, "Photoshop 3.0\x008BIM\x04\x04\x00\x00\x00\x00\x00\x20\x1c\x02\x78\x00\x18"+marked+"iptc"), segment(0xFE, marked+"comment"), segment(0xE5, marked+"other"),
		plain[2:], []byte(marked + "after"),
	}, nil)
}

// exif is the heading of TIFF 6.0 with the tags of Exif 2.3 for a description, its twin in UTF-16 and a latitude (tag numbers from memory).
func exif(marked string) string {
	text, twin := marked+"exif \x00", utf16Of(marked+"twin", binary.LittleEndian)
	const start = 8 + 2 + 3*12 + 4
	entry := func(tag, kind uint16, count, value uint32) []byte {
		b := binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(nil, tag), kind)
		return binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(b, count), value)
	}
	gps := uint32(start + len(text) + len(twin))
	return string(bytes.Join([][]byte{
		[]byte("MM\x00\x2a\x00\x00\x00\x08\x00\x03"), entry(0x010E, 2, uint32(len(text)), start), entry(0x9C9B, 1, uint32(len(twin)), start+uint32(len(text))),
		entry(0x8825, 4, 1, gps),
		{0, 0, 0, 0},
		[]byte(text), []byte(twin),
		{0, 1},
		entry(2, 5, 1, gps+2+12+4),
		{0, 0, 0, 0},
		[]byte(place),
	}, nil))
}

// screenshot is a PNG picture that says in all the ways of its kind what readers are not to have.
func screenshot(t testing.TB, marked string) []byte {
	t.Helper()
	var b, packed bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 16, 8))))
	z := zlib.NewWriter(&packed)
	_, err := io.WriteString(z, marked+"packed")
	require.NoError(t, err)
	require.NoError(t, z.Close())
	chunk := func(kind, text string) []byte {
		sum := crc32.ChecksumIEEE([]byte(kind + text))
		return binary.BigEndian.AppendUint32(append(binary.BigEndian.AppendUint32(nil, uint32(len(text))), kind+text...), sum)
	}
	plain := b.Bytes()
	const head = 8 + 12 + 13 // signature and IHDR
	return bytes.Join([][]byte{
		plain[:head], chunk("tEXt", "Author\x00"+marked+"text "), chunk("zTXt", "Comment\x00\x00"+packed.String()), chunk("iTXt", "XML:com.adobe.xmp\x00\x00\x00\x00\x00"+marked+"xmp "),
		chunk("eXIf", exif(marked)), chunk("prVt", marked+"private "), plain[head:], []byte(marked + "after"),
	}, nil)
}
