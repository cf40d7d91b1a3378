package picture_test

import (
	"bytes"
	"encoding/binary"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// encodedJPEG is the sample as Go writes it, without any data about it.
func encodedJPEG(t testing.TB) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, sample(), nil))
	return b.Bytes()
}

// segment is a marker with its payload.
func segment(marker byte, payload string) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xFF, marker}, uint16(len(payload)+2)), payload...)
}

// exif is a camera's data, laid out by hand after CIPA DC-008, 4.5 and 4.6 (from memory): maker, orientation, time and place, the
// last a directory of its own with latitude 82°17′7.01″.
func exif(order binary.AppendByteOrder, orientation uint16) string {
	entry := func(b []byte, tag, kind uint16, count, value uint32) []byte {
		return order.AppendUint32(order.AppendUint32(order.AppendUint16(order.AppendUint16(b, tag), kind), count), value)
	}
	short := func(v uint16) uint32 { // a short value stands at the beginning of its four bytes
		return order.(binary.ByteOrder).Uint32(append(order.AppendUint16(nil, v), 0, 0))
	}
	b := []byte("MM\x00*")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		b = []byte("II*\x00")
	}
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 4)
	b = entry(b, 0x010F, 2, 15, 62)                                      // Make
	b = entry(b, 0x0112, 3, 1, short(orientation))                       // Orientation
	b = entry(b, 0x0132, 2, 20, 78)                                      // DateTime
	b = entry(b, 0x8825, 4, 1, 98)                                       // GPS
	b = append(b, 0, 0, 0, 0)                                            // no thumbnail
	b = append(b, "Larkrow Optics\x00\x00"...)                           // at 62
	b = append(b, "1998:07:14 06:55:02\x00"...)                          // at 78
	b = order.AppendUint16(b, 2)                                         // at 98
	b = entry(b, 0x0001, 2, 2, short(0))                                 // GPSLatitudeRef
	b = entry(b, 0x0002, 5, 3, 128)                                      // GPSLatitude
	b = append(b, 0, 0, 0, 0)                                            // at 124
	return string(append(b, "\x52\x11\x07\x01\x01workshop at night"...)) // at 128
}

// photo is the sample as a camera would leave it.
func photo(t testing.TB) []byte {
	plain := encodedJPEG(t)
	return bytes.Join([][]byte{
		plain[:2],
		segment(0xE0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x01\x01old thumbnail"),
		segment(0xE0, "JFXX\x00\x10old thumbnail"),
		segment(0xE1, "Exif\x00\x00"+exif(binary.BigEndian, 6)),
		segment(0xE1, "Exif\x00\x00"+exif(binary.LittleEndian, 3)),
		segment(0xE1, "http://ns.adobe.com/xap/1.0/\x00<x>wren@larkrow.example</x>"),
		segment(0xE2, "ICC_PROFILE\x00\x01\x01profile"),
		segment(0xE2, "MPF\x00old thumbnail"),
		segment(0xED, "Photoshop 3.0\x008BIM workshop at night"),
		segment(0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x01workshop at night"),
		segment(0xFE, "workshop at night"),
		{0xFF, 0xFF}, // a marker may have more of these before it
		plain[2:],
		[]byte("after the end \xFF\xD8 old thumbnail \xFF\xD9"),
	}, nil)
}

func TestJPEG(t *testing.T) {
	t.Parallel()
	data := photo(t)
	out := clean(t, "jar.jpg", data)
	assertSamePixels(t, pixels(t, data), pixels(t, out))
	plain := encodedJPEG(t)
	want := bytes.Join([][]byte{
		plain[:2],
		segment(0xE0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x00\x00"),
		segment(0xE1, "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\x00\x00\x00\x00"),
		segment(0xE2, "ICC_PROFILE\x00\x01\x01profile"),
		segment(0xEE, "Adobe\x00\x64\x00\x00\x00\x00\x01"),
		plain[2:],
	}, nil)
	assert.Equal(t, want, out)
	assert.Equal(t, plain, clean(t, "jar.jpg", plain), "a plain picture changed")
}

// Which way up: CIPA DC-008, 4.6.4 A, Orientation (from memory): 1 to 8, of which 1 needs no saying.
func TestOrientation(t *testing.T) {
	t.Parallel()
	plain := encodedJPEG(t)
	for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
		for o := range uint16(10) {
			data := bytes.Join([][]byte{plain[:2], segment(0xE1, "Exif\x00\x00"+exif(order, o)), plain[2:]}, nil)
			out := clean(t, "jar.jpg", data)
			if o <= 1 || o > 8 {
				assert.Equal(t, plain, out, "%v %d", order, o)
				continue
			}
			want := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00" + string(rune(o)) + "\x00\x00\x00\x00\x00\x00\x00"
			assert.Equal(t, bytes.Join([][]byte{plain[:2], segment(0xE1, want), plain[2:]}, nil), out, "%v %d", order, o)
		}
	}
}

// Exif data that breaks off or points anywhere says nothing, and is no fault of the picture.
func TestDamagedExif(t *testing.T) {
	t.Parallel()
	plain, whole := encodedJPEG(t), exif(binary.BigEndian, 6)
	bad := []string{"", "MM", "XX\x00*\x00\x00\x00\x08", "MM\x00*\xFF\xFF\xFF\xFF", "MM\x00*\x00\x00\x00\x08\xFF\xFF"}
	for n := range 34 { // the orientation's entry ends at byte 34
		bad = append(bad, whole[:n])
	}
	for _, tiff := range bad {
		data := bytes.Join([][]byte{plain[:2], segment(0xE1, "Exif\x00\x00"+tiff), plain[2:]}, nil)
		assert.Equal(t, plain, clean(t, "jar.jpg", data), "%q", tiff)
	}
}
