package picture

import (
	"bytes"
	"encoding/binary"
)

// Exif data is a TIFF file in small: CIPA DC-008 (Exif 2.3), 4.5 and 4.6.4 A; TIFF 6.0, section 2 (both from memory). Of all that it
// can tell, only which way up the picture goes is needed to show it.

const (
	upright        = 1      // the orientation that says nothing
	orientationTag = 0x0112 // in the first directory
	typeShort      = 3
	entrySize      = 12
)

// orientation reads which way up a picture goes, 1 to 8, from its Exif data; false where that does not say.
func orientation(tiff []byte) (int, bool) {
	order, ok := byteOrder(tiff)
	if !ok {
		return 0, false
	}
	start := uint64(order.Uint32(tiff[4:]))
	if start+2 > uint64(len(tiff)) {
		return 0, false
	}
	directory := cursor{tiff[start+2:]}
	for range order.Uint16(tiff[start:]) {
		entry, ok := directory.take(entrySize)
		if !ok {
			return 0, false
		}
		if order.Uint16(entry) == orientationTag {
			value := int(order.Uint16(entry[8:]))
			right := order.Uint16(entry[2:]) == typeShort && order.Uint32(entry[4:]) == 1 && value >= 1 && value <= 8
			return value, right
		}
	}
	return 0, false
}

// byteOrder reads the head of TIFF data: the order of bytes, and the number 42 in it.
func byteOrder(tiff []byte) (binary.ByteOrder, bool) {
	switch {
	case len(tiff) < 8:
		return nil, false
	case bytes.HasPrefix(tiff, []byte("II*\x00")):
		return binary.LittleEndian, true
	case bytes.HasPrefix(tiff, []byte("MM\x00*")):
		return binary.BigEndian, true
	}
	return nil, false
}

// turned gives the least Exif data that says which way up a picture goes.
func turned(orientation int) []byte {
	return []byte{
		'I', 'I', '*', 0, 8, 0, 0, 0, // the directory is at byte 8
		1, 0, // one entry
		orientationTag & 0xFF, orientationTag >> 8, typeShort, 0, 1, 0, 0, 0, byte(orientation), 0, 0, 0,
		0, 0, 0, 0, // no further directory
	}
}

// A turn keeps the first orientation that a picture's Exif data gives; readers of pictures go by the first.
type turn struct{ known bool }

// keep gives what is to stand in place of some Exif data: nothing, or the least that says the orientation.
func (t *turn) keep(tiff []byte) ([]byte, bool) {
	o, ok := orientation(tiff)
	if !ok || t.known {
		return nil, false
	}
	t.known = true
	if o == upright {
		return nil, false
	}
	return turned(o), true
}
