package seal

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"strings"
)

// ErrDamaged says that something sealed or stored does not open as what it is taken for: its bytes were changed, or it belongs to
// another path, type, site or epoch.
var ErrDamaged = errors.New("it is damaged, or was sealed for another place")

const (
	version  = "1"
	keySize  = 32 // AES-256; HKDF, PBKDF2 and HMAC with SHA-256 give as much
	saltSize = 16 // at least 128 bits: NIST SP 800-132, 5.1
	// NIST SP 800-38D, 8.2: nonces of 96 bits. Made from the text by a keyed hash they are as good as random ones, of which
	// 8.3 allows 2³² for one key; a key here serves the revisions of one page in one epoch.
	nonceSize = 12
	tagSize   = 16
)

// A salt is a site's public salt; as text it names the site.
type salt [saltSize]byte

func (s salt) String() string { return hex.EncodeToString(s[:]) }

// derive makes n bytes from a key for the purpose that the parts name.
func (s salt) derive(key []byte, n int, purpose ...string) []byte {
	out, err := hkdf.Key(sha256.New, key, s[:], joined(purpose...), n)
	if err != nil {
		panic("seal: derive a key: " + err.Error()) // n is at most 60; HKDF gives up to 8160 bytes
	}
	return out
}

// joined has zero bytes between its parts, of which only the last may have any itself.
func joined(parts ...string) string { return strings.Join(parts, "\x00") }

// mac is HMAC-SHA256 over the parts one after the other.
func mac(key []byte, parts ...[]byte) []byte {
	h := hmac.New(sha256.New, key)
	for _, p := range parts {
		h.Write(p)
	}
	return h.Sum(nil)
}

// closeBox seals plain text and binds it to aad: the nonce, the ciphertext, the tag.
func closeBox(key, nonceKey []byte, aad string, plain []byte) []byte {
	nonce := mac(nonceKey, []byte(aad), plain)[:nonceSize]
	box := slices.Grow(bytes.Clone(nonce), len(plain)+tagSize)
	return gcm(key).Seal(box, nonce, plain, []byte(aad))
}

// openBox gives back the plain text, or ErrDamaged.
func openBox(key []byte, aad string, box []byte) ([]byte, error) {
	if len(box) < nonceSize+tagSize {
		return nil, ErrDamaged
	}
	plain, err := gcm(key).Open(nil, box[:nonceSize], box[nonceSize:], []byte(aad))
	if err != nil {
		return nil, ErrDamaged
	}
	return plain, nil
}

func gcm(key []byte) cipher.AEAD {
	block, err := aes.NewCipher(key)
	if err != nil {
		panic("seal: " + err.Error()) // keys are of 32 bytes
	}
	aead, err := cipher.NewGCM(block)
	if err != nil {
		panic("seal: " + err.Error()) // AES has blocks of 16 bytes
	}
	return aead
}
