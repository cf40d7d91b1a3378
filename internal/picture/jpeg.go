package picture

import (
	"bytes"
	"encoding/binary"
)

// Markers of JPEG files: ITU-T T.81, table B.1 (from memory).
const (
	mSOI  = 0xD8
	mEOI  = 0xD9
	mSOS  = 0xDA
	mTEM  = 0x01
	mRST0 = 0xD0
	mRST7 = 0xD7
	mAPP0 = 0xE0
	mAPP1 = 0xE1
	mAPP2 = 0xE2
	mAPPE = 0xEE
)

func isJPEG(data []byte) bool { return bytes.HasPrefix(data, []byte{0xFF, mSOI, 0xFF}) }

// A jpeg is a JPEG file being cleaned.
type jpeg struct {
	in          cursor
	out         []byte
	turn        turn
	frame, scan bool // whether the header of the picture, and some of its data, have been seen
}

// cleanJPEG drops all segments but those that decoding needs, the colour profile, and a minimal Exif that says which way up the
// picture goes; and all after the end of the picture. Structure: ITU-T T.81, B.1 and B.2 (from memory).
func cleanJPEG(data []byte) ([]byte, error) {
	j := &jpeg{in: cursor{data[2:]}, out: append(make([]byte, 0, len(data)), data[:2]...)}
	for {
		marker, ok := j.marker()
		switch {
		case !ok:
			return nil, damaged("the JPEG picture is damaged, or not all of it is here")
		case marker == mEOI:
			if !j.frame || !j.scan {
				return nil, damaged("the JPEG file holds no picture")
			}
			return append(j.out, 0xFF, mEOI), nil
		case marker == mTEM, marker >= mRST0 && marker <= mRST7: // no segments; they mean nothing here
		case !j.segment(marker):
			return nil, damaged("the JPEG picture is damaged, or not all of it is here")
		}
	}
}

// marker reads the next marker, which any number of 0xFF may go before.
func (j *jpeg) marker() (byte, bool) {
	if b, ok := j.in.next(); !ok || b != 0xFF {
		return 0, false
	}
	for {
		if b, ok := j.in.next(); !ok || b != 0xFF {
			return b, ok && b != 0 && b != mSOI
		}
	}
}

// segment reads what follows a marker and writes what is to stay of it.
func (j *jpeg) segment(marker byte) bool {
	size, ok := j.in.take(2)
	if !ok {
		return false
	}
	payload, ok := j.in.take(int(binary.BigEndian.Uint16(size)) - 2)
	if !ok {
		return false
	}
	if payload, ok := j.keep(marker, payload); ok {
		j.out = append(j.out, 0xFF, marker)
		j.out = binary.BigEndian.AppendUint16(j.out, uint16(len(payload)+2))
		j.out = append(j.out, payload...)
	}
	if marker != mSOS {
		return true
	}
	j.scan = true
	return j.coded()
}

// keep gives what is to stay of a segment's payload, and whether the segment stays at all. JFIF: ITU-T T.871, 10; Adobe: ITU-T T.872,
// 6.5.3; colour profiles: ICC.1, annex B.4; Exif: CIPA DC-008, 4.7.2 (all from memory). The JFIF thumbnail, an earlier state of
// the picture, goes too.
func (j *jpeg) keep(marker byte, payload []byte) ([]byte, bool) {
	switch {
	case marker >= 0xC0 && marker <= 0xCF && marker != 0xC8: // frame headers, and the tables DHT and DAC among their numbers
		j.frame = j.frame || marker != 0xC4 && marker != 0xCC
		return payload, true
	case marker >= mSOS && marker <= 0xDF: // SOS DQT DNL DRI DHP EXP
		return payload, true
	case marker == mAPP0 && len(payload) >= 14 && string(payload[:5]) == "JFIF\x00":
		return append(bytes.Clone(payload[:12]), 0, 0), true
	case marker == mAPP1 && bytes.HasPrefix(payload, []byte("Exif\x00")) && len(payload) > 6:
		tiff, ok := j.turn.keep(payload[6:])
		return append([]byte("Exif\x00\x00"), tiff...), ok
	case marker == mAPP2 && bytes.HasPrefix(payload, []byte("ICC_PROFILE\x00")):
		return payload, true
	case marker == mAPPE && len(payload) >= 12 && string(payload[:5]) == "Adobe":
		return payload[:12], true
	}
	return nil, false
}

// coded copies the coded data of a scan: up to a marker that is neither a restart nor a coded 0xFF (ITU-T T.81, B.1.1.5).
func (j *jpeg) coded() bool {
	data := j.in.rest
	for at := 0; ; at++ {
		found := bytes.IndexByte(data[at:], 0xFF)
		if found < 0 || at+found+1 >= len(data) {
			return false
		}
		at += found
		if next := data[at+1]; next != 0 && next != 0xFF && (next < mRST0 || next > mRST7) {
			j.out = append(j.out, data[:at]...)
			j.in.rest = data[at:]
			return true
		}
	}
}
