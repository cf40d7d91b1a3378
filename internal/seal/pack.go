package seal

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"io"
	"math/bits"
	"slices"
	"strings"
)

// A coding is how data lies in a packed page.
type coding byte

const (
	asIs    coding = 0
	gzipped coding = 1
)

const (
	headSize    = 1 + 4   // the coding and the length of the data
	padStep     = 4 << 10 // bytes
	gzipLevel   = 3       // half the time of the usual 6; what it saves less on a page goes in the padding
	maxDataSize = MaxPage + MaxPage/1000 + 64
)

// packsBy says how to pack data of a media type: what is compressed by its nature stays as it is. A reader goes by the coding that the
// page says, so this list can change.
func packsBy(mediaType string) coding {
	if mediaType == "image/svg+xml" {
		return gzipped
	}
	for _, compressed := range []string{"image/", "audio/", "video/", "font/woff", "application/pdf", "application/zip"} {
		if strings.HasPrefix(mediaType, compressed) {
			return asIs
		}
	}
	return gzipped
}

// pack lays out plain text for sealing: coding, length, data, and zeros up to the next step.
func pack(plain []byte, by coding) []byte {
	var b bytes.Buffer
	b.Write(make([]byte, headSize))
	if by == gzipped {
		compress(&b, plain)
	} else {
		b.Write(plain)
	}
	packed := b.Bytes()
	packed[0] = byte(by)
	binary.BigEndian.PutUint32(packed[1:], uint32(len(packed)-headSize))
	return pad(packed)
}

// compress writes one gzip member without name and time: the same bytes each time.
func compress(b *bytes.Buffer, plain []byte) {
	w, err := gzip.NewWriterLevel(b, gzipLevel)
	if err == nil {
		_, err = w.Write(plain)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic("seal: compress: " + err.Error()) // there is such a level, and a buffer takes everything
	}
}

// pad adds zeros up to the next step.
func pad(packed []byte) []byte {
	missing := paddedSize(len(packed)) - len(packed)
	return append(slices.Grow(packed, missing), make([]byte, missing)...)
}

// paddedSize rounds up to a multiple of 4 KiB, or from 64 KiB on of the greatest power of two within an eighth.
func paddedSize(n int) int {
	step := max(padStep, 1<<bits.Len(uint(n/8))>>1)
	return (n + step - 1) / step * step
}

// unpack gives back the plain text. It is strict: only what pack may lay out is read, at most MaxPage bytes of it.
func unpack(packed []byte) ([]byte, bool) {
	if len(packed) < headSize {
		return nil, false
	}
	length := uint64(binary.BigEndian.Uint32(packed[1:]))
	if length > maxDataSize || length > uint64(len(packed)-headSize) {
		return nil, false
	}
	data, zeros := packed[headSize:headSize+length], packed[headSize+length:]
	if len(packed) != paddedSize(headSize+len(data)) || slices.ContainsFunc(zeros, func(b byte) bool { return b != 0 }) {
		return nil, false
	}
	switch coding(packed[0]) {
	case asIs:
		if len(data) <= MaxPage {
			return data, true
		}
	case gzipped:
		return gunzip(data)
	}
	return nil, false
}

// gunzip reads one gzip member that ends where the data does, and at most MaxPage bytes of it.
func gunzip(data []byte) ([]byte, bool) {
	rest := bytes.NewReader(data)
	r, err := gzip.NewReader(rest)
	if err != nil {
		return nil, false
	}
	r.Multistream(false)
	plain, err := io.ReadAll(io.LimitReader(r, MaxPage+1))
	if err != nil || len(plain) > MaxPage || rest.Len() > 0 {
		return nil, false
	}
	return plain, true
}
