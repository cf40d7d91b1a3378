package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"os"
	"sync"
)

// A digest is the SHA-256 of a file's bytes.
type digest [sha256.Size]byte

func digestOf(data []byte) digest { return sha256.Sum256(data) }

// String gives it in hexadecimal, as the lists have it.
func (d digest) String() string { return hex.EncodeToString(d[:]) }

// parseDigest reads what String wrote.
func parseDigest(text string) (d digest, ok bool) {
	if hex.DecodedLen(len(text)) != len(d) {
		return d, false
	}
	_, err := hex.Decode(d[:], []byte(text))
	return d, err == nil
}

// A reader reads one file after another with the same memory.
type reader struct {
	buffer [64 << 10]byte
	hash   hash.Hash
}

var readers = sync.Pool{New: func() any { return &reader{hash: sha256.New()} }}

// each hands a file on, piece by piece, for as long as take wants more.
func (r *reader) each(name string, take func(piece []byte) bool) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	for {
		n, err := f.Read(r.buffer[:])
		if !take(r.buffer[:n]) || err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// digestOfFile reads a file's bytes and gives their digest.
func digestOfFile(name string) (d digest, err error) {
	r := readers.Get().(*reader)
	defer readers.Put(r)
	r.hash.Reset()
	err = r.each(name, func(piece []byte) bool {
		r.hash.Write(piece)
		return true
	})
	r.hash.Sum(d[:0])
	return d, err
}

// holds says whether a file has those bytes.
func holds(name string, data []byte) bool {
	r := readers.Get().(*reader)
	defer readers.Put(r)
	same := true
	err := r.each(name, func(piece []byte) bool {
		rest, begins := bytes.CutPrefix(data, piece)
		data, same = rest, begins
		return begins
	})
	return err == nil && same && len(data) == 0
}
