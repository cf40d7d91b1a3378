package seal

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// MaxPage is how many bytes a page or picture may have, 32 MiB; no more than that ever comes out of one.
const MaxPage = 32 << 20

// errTooLarge is told by Seal only; a sealed page that holds more is damaged.
var errTooLarge = fmt.Errorf("it has more than %d bytes", MaxPage)

// A ContentKey seals and opens the pages of one epoch. It comes from Door.ContentKey or Ring.Unlock; methods of the zero ContentKey
// panic. It is a plain value and safe for concurrent use.
type ContentKey struct {
	key   [keySize]byte
	salt  salt
	epoch uint32
}

// Epoch is the epoch whose pages the key opens.
func (k ContentKey) Epoch() uint32 { return k.epoch }

// String tells keys apart without showing them.
func (k ContentKey) String() string {
	return fmt.Sprintf("content key of site %s in epoch %d", k.salt, k.epoch)
}

// GoString is String, so that %#v does not show the key either.
func (k ContentKey) GoString() string { return k.String() }

// Seal seals a page or picture for the path it is opened from and the media type it is shown as. The size shows only in
// steps of at least 4 KiB or about an eighth. The same input gives the same bytes. An empty or oddly written path or type and more than
// MaxPage bytes are errors.
func (k ContentKey) Seal(path, mediaType string, plain []byte) ([]byte, error) {
	if err := errors.Join(checkBound("path", path), checkBound("media type", mediaType)); err != nil {
		return nil, err
	}
	if len(plain) > MaxPage {
		return nil, fmt.Errorf("seal %s: %w", path, errTooLarge)
	}
	return k.closePage(path, mediaType, pack(plain, packsBy(mediaType))), nil
}

// closePage seals what pack made.
func (k ContentKey) closePage(path, mediaType string, packed []byte) []byte {
	return closeBox(k.derive("page", path), k.derive("nonce", path), k.pageAAD(path, mediaType), packed)
}

// Open gives back what was sealed. Where the path, the type or any byte is not as it was then, or the page is of another site or epoch,
// the error is an ErrDamaged and nothing else is given.
func (k ContentKey) Open(path, mediaType string, sealed []byte) ([]byte, error) {
	packed, err := openBox(k.derive("page", path), k.pageAAD(path, mediaType), sealed)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	plain, ok := unpack(packed)
	if !ok {
		return nil, fmt.Errorf("open %s: %w", path, ErrDamaged)
	}
	return plain, nil
}

func (k ContentKey) pageAAD(path, mediaType string) string {
	return joined("sealed-page", version, k.salt.String(), decimal(k.epoch), path, mediaType)
}

func (k ContentKey) derive(purpose ...string) []byte {
	if k.epoch == 0 {
		panic("seal: a ContentKey that was not made by Door.ContentKey or Ring.Unlock")
	}
	return k.salt.derive(k.key[:], keySize, purpose...)
}

// checkBound refuses what could run into its neighbours in the associated data, and what browsers would read otherwise.
func checkBound(what, text string) error {
	if text == "" || !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return fmt.Errorf("seal: %q cannot be the %s of a page", text, what)
	}
	return nil
}
