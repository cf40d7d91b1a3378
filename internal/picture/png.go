package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"strings"
)

// PNG: Portable Network Graphics, third edition, 5 (structure) and 11 (chunks), from memory.
const (
	pngSignature = "\x89PNG\r\n\x1a\n"
	pngShown     = " IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP sBIT bKGD pHYs cICP acTL fcTL fdAT "
)

func isPNG(data []byte) bool { return bytes.HasPrefix(data, []byte(pngSignature)) }

// A chunk is a part of a PNG file.
type chunk struct {
	kind string
	data []byte
	crc  uint32
}

// whole says whether the chunk's check sum, over its kind and data, is right.
func (c chunk) whole() bool {
	return crc32.Update(crc32.ChecksumIEEE([]byte(c.kind)), crc32.IEEETable, c.data) == c.crc
}

// cleanPNG drops all chunks but those needed to show the picture, animated or not; of Exif data only which way up it goes stays.
func cleanPNG(data []byte) ([]byte, error) {
	in := cursor{data[len(pngSignature):]}
	out := append(make([]byte, 0, len(data)), pngSignature...)
	var way turn
	var seen string // the kinds of critical chunks so far
	for !strings.HasSuffix(seen, "IEND") {
		c, ok := nextChunk(&in)
		if !ok {
			return nil, damaged("the PNG picture is damaged, or not all of it is here")
		}
		critical := c.kind[0]&0x20 == 0
		shown := strings.Contains(pngShown, " "+c.kind+" ")
		switch {
		case critical && !shown:
			return nil, damaged("the PNG picture has a part that browsers do not know")
		case (shown || c.kind == "eXIf") && !c.whole():
			return nil, damaged("the PNG picture is damaged: the check sum of its part " + c.kind + " is wrong")
		case shown:
			out = appendChunk(out, c.kind, c.data)
		case c.kind == "eXIf":
			if tiff, ok := way.keep(c.data); ok {
				out = appendChunk(out, c.kind, tiff)
			}
		}
		if critical && (c.kind != "IDAT" || !strings.HasSuffix(seen, "IDAT")) {
			seen += c.kind
		}
		if !strings.HasPrefix("IHDRIDATIEND", seen) && !strings.HasPrefix("IHDRPLTEIDATIEND", seen) {
			return nil, damaged("the PNG picture is damaged: its parts are out of order")
		}
	}
	return out, nil
}

// nextChunk reads a chunk; its kind is four letters.
func nextChunk(in *cursor) (chunk, bool) {
	head, ok := in.take(8)
	if !ok {
		return chunk{}, false
	}
	for _, b := range head[4:] {
		if letter := b | 0x20; letter < 'a' || letter > 'z' {
			return chunk{}, false
		}
	}
	size := binary.BigEndian.Uint32(head)
	if size >= 1<<31 {
		return chunk{}, false
	}
	data, ok := in.take(int(size))
	if !ok {
		return chunk{}, false
	}
	crc, ok := in.take(4)
	if !ok {
		return chunk{}, false
	}
	return chunk{string(head[4:]), data, binary.BigEndian.Uint32(crc)}, true
}

// appendChunk writes a chunk with its check sum.
func appendChunk(out []byte, kind string, data []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
	start := len(out)
	out = append(append(out, kind...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[start:]))
}
