package picture

import (
	"bytes"
	"encoding/binary"
)

// WebP: RFC 9649, 2 (the container), from memory. Sizes are little-endian; a part of odd size has a zero byte after it.

const (
	webpHead = 12 // RIFF, size, WEBP
	// The flags of VP8X.
	flagICC   = 0x20
	flagAlpha = 0x10
	flagExif  = 0x08
	flagMoves = 0x02
)

func isWebP(data []byte) bool {
	return len(data) >= webpHead && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP"
}

// cleanWebP drops Exif and XMP data (save which way up the picture goes), parts that the standard does not name, and all after the end.
func cleanWebP(data []byte) ([]byte, error) {
	size := uint64(binary.LittleEndian.Uint32(data[4:]))
	if size < 4 || size+8 > uint64(len(data)) {
		return nil, damaged("the WebP picture is damaged, or not all of it is here")
	}
	w := &webp{in: cursor{data[webpHead : size+8]}, out: append(make([]byte, 0, len(data)), data[:webpHead]...)}
	if !w.clean() {
		return nil, damaged("the WebP picture is damaged, or not all of it is here")
	}
	binary.LittleEndian.PutUint32(w.out[4:], uint32(len(w.out)-8))
	return w.out, nil
}

// A webp is a WebP file being cleaned.
type webp struct {
	in    cursor
	out   []byte
	turn  turn
	had   byte // the flags that VP8X had
	has   byte // the flags for which the parts were found
	shows bool // whether the picture itself was found
}

// clean reads a simple file, whose picture is its first part, or an extended one, which begins with VP8X.
func (w *webp) clean() bool {
	kind, data, ok := riffPart(&w.in)
	if !ok {
		return false
	}
	if kind == "VP8 " || kind == "VP8L" {
		w.out = appendPart(w.out, kind, data)
		return true
	}
	if kind != "VP8X" || len(data) < 10 {
		return false
	}
	w.had = data[0]
	flags := len(w.out) + 8
	w.out = appendPart(w.out, kind, append([]byte{0, 0, 0, 0}, data[4:10]...)) // the three bytes after the flags are reserved
	for len(w.in.rest) > 0 {
		if kind, data, ok = riffPart(&w.in); !ok || !w.part(kind, data) {
			return false
		}
	}
	w.out[flags] = w.had&(flagAlpha|flagMoves) | w.has
	return w.shows
}

// part writes what is to stay of a part of an extended file.
func (w *webp) part(kind string, data []byte) bool {
	switch kind {
	case "VP8 ", "VP8L":
		w.shows = true
		w.out = appendPart(w.out, kind, data)
	case "ALPH", "ANIM":
		w.out = appendPart(w.out, kind, data)
	case "ICCP":
		if w.had&flagICC != 0 {
			w.has |= flagICC
			w.out = appendPart(w.out, kind, data)
		}
	case "EXIF":
		if tiff, ok := w.turn.keep(bytes.TrimPrefix(data, []byte("Exif\x00\x00"))); ok && w.had&flagExif != 0 {
			w.has |= flagExif
			w.out = appendPart(w.out, kind, tiff)
		}
	case "ANMF":
		frame, ok := cleanFrame(data)
		w.shows = true
		w.out = appendPart(w.out, kind, frame)
		return ok
	}
	return true
}

// cleanFrame drops all from a frame of an animation but its place, its time, and its picture.
func cleanFrame(data []byte) ([]byte, bool) {
	in := cursor{data}
	head, ok := in.take(16)
	if !ok {
		return nil, false
	}
	out := bytes.Clone(head)
	for len(in.rest) > 0 {
		kind, data, ok := riffPart(&in)
		if !ok {
			return nil, false
		}
		if kind == "ALPH" || kind == "VP8 " || kind == "VP8L" {
			out = appendPart(out, kind, data)
		}
	}
	return out, true
}

// riffPart reads a part; at the end of the file the byte that evens it out may be missing.
func riffPart(in *cursor) (kind string, data []byte, ok bool) {
	head, ok := in.take(8)
	if !ok {
		return "", nil, false
	}
	size := binary.LittleEndian.Uint32(head[4:])
	if uint64(size) > uint64(len(in.rest)) {
		return "", nil, false
	}
	data, _ = in.take(int(size))
	if size%2 == 1 {
		in.next()
	}
	return string(head[:4]), data, true
}

func appendPart(out []byte, kind string, data []byte) []byte {
	out = binary.LittleEndian.AppendUint32(append(out, kind...), uint32(len(data)))
	out = append(out, data...)
	if len(data)%2 == 1 {
		out = append(out, 0)
	}
	return out
}
