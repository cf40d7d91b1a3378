package picture_test

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/picture"
)

// bits writes numbers with the lowest bit first, as RFC 9649, 3.2 has them (from memory).
type bits struct {
	out  []byte
	used int
}

func (b *bits) put(value uint32, n int) {
	for range n {
		if b.used%8 == 0 {
			b.out = append(b.out, 0)
		}
		b.out[b.used/8] |= byte(value&1) << (b.used % 8)
		value >>= 1
		b.used++
	}
}

// lossless is a picture of 32 by 16 pixels of two greens, in squares: RFC 9649, 3.4 and 3.7 (from memory). The codes for red, blue
// and opacity have one sign each and take no bits; those for green have two and take one.
func lossless() string {
	b := &bits{}
	b.put(0x2F, 8)
	b.put(32-1, 14)
	b.put(16-1, 14)
	b.put(0, 1+3)                                        // no opacity, version
	b.put(0, 1+1+1)                                      // no transform, no cache of colours, one group of codes
	b.put(1|1<<1, 2)                                     // a simple code of two signs
	b.put(1, 1)                                          // the first of 8 bits
	b.put(0x2E, 8)                                       // green
	b.put(0xC8, 8)                                       // or this green
	for _, sign := range []uint32{0x4D, 0x20, 0xFF, 0} { // red, blue, opacity, distance
		b.put(1, 2)
		b.put(1, 1)
		b.put(sign, 8)
	}
	for y := range 16 {
		for x := range 32 {
			b.put(uint32(x/16+y/8)%2, 1)
		}
	}
	return string(b.out)
}

// riffPart is a part of a RIFF file.
func riffPart(kind, data string) string {
	b := append(binary.LittleEndian.AppendUint32([]byte(kind), uint32(len(data))), data...)
	if len(data)%2 == 1 {
		b = append(b, 0)
	}
	return string(b)
}

// riff is a WebP file of parts.
func riff(parts ...string) []byte {
	body := "WEBP"
	for _, p := range parts {
		body += p
	}
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}

// extended is VP8X for 32 by 16 pixels.
func extended(flags byte) string {
	return riffPart("VP8X", string([]byte{flags, 0, 0, 0, 31, 0, 0, 15, 0, 0}))
}

func simpleWebP() []byte {
	return append(riff(riffPart("VP8L", lossless()), riffPart("EXIF", "workshop at night")), "after the end"...)
}

func extendedWebP() []byte {
	return riff(extended(0x2C), riffPart("ICCP", "profile"), riffPart("VP8L", lossless()), riffPart("EXIF", exif(binary.BigEndian, 6)),
		riffPart("XMP ", "wren@larkrow.example"), riffPart("note", "workshop at night"))
}

// frame is a picture of an animation, in its place at the top left, shown for 500 ms.
func frame(more ...string) string {
	data := string([]byte{0, 0, 0, 0, 0, 0, 31, 0, 0, 15, 0, 0, 0xF4, 1, 0, 0}) + riffPart("VP8L", lossless())
	for _, part := range more {
		data += part
	}
	return riffPart("ANMF", data)
}

func movingWebP() []byte {
	return riff(extended(0x0E), riffPart("ANIM", "\xFF\xFF\xFF\xFF\x00\x00"), frame(riffPart("note", "workshop at night")), frame(),
		riffPart("EXIF", "Exif\x00\x00"+exif(binary.LittleEndian, 1)), riffPart("XMP ", "old thumbnail"))
}

func TestWebP(t *testing.T) {
	t.Parallel()
	const turned = "II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\x00\x00\x00\x00"
	picture := riffPart("VP8L", lossless())
	tests := map[string]struct{ data, want []byte }{
		"simple":                 {simpleWebP(), riff(picture)},
		"extended":               {extendedWebP(), riff(extended(0x28), riffPart("ICCP", "profile"), picture, riffPart("EXIF", turned))},
		"moving":                 {movingWebP(), riff(extended(0x02), riffPart("ANIM", "\xFF\xFF\xFF\xFF\x00\x00"), frame(), frame())},
		"flags without parts":    {riff(extended(0xFF), picture), riff(extended(0x12), picture)},
		"parts without flags":    {riff(extended(0), riffPart("ICCP", "profile"), picture, riffPart("EXIF", turned)), riff(extended(0), picture)},
		"an odd end, not evened": {riff(extended(0), picture, "note\x01\x00\x00\x00x"), riff(extended(0), picture)},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := clean(t, "jar.webp", test.data)
			assert.Equal(t, test.want, out)
			if name == "simple" || name == "extended" {
				assertSamePixels(t, pixels(t, test.data), pixels(t, out))
			}
		})
	}
}

func TestDamagedWebP(t *testing.T) {
	t.Parallel()
	for name, data := range map[string][]byte{
		"no picture":            riff(extended(0)),
		"a part that is none":   riff("RIFX\x00\x00\x00\x00"),
		"a part beyond the end": riff(extended(0), "VP8L\xFF\xFF\xFF\xFFx"),
		"a short head":          riff(riffPart("VP8X", "\x00")),
		"a short frame":         riff(extended(2), riffPart("ANMF", "\x00")),
		"a broken frame":        riff(extended(2), riffPart("ANMF", "0123456789abcdefVP8L\xFF\x00\x00\x00x")),
	} {
		_, err := picture.Clean("jar.webp", data)
		require.ErrorContains(t, err, "WebP picture is damaged", name)
	}
}
