package seal

import (
	"crypto/pbkdf2"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
)

// ErrSlip says that what was typed is no access code at all, as against a code that nobody has (ErrUnknown).
var ErrSlip = errors.New("a sign is mistyped or missing")

const (
	alphabet  = "0123456789ABCDEFGHJKMNPQRSTVWXYZ" // Crockford's base 32
	codeSigns = 20                                 // 5 bits each: 100 bits
)

// A Code is a member's access code. It comes from NewCode or ParseCode; the zero Code is none, and methods that need one panic.
type Code struct {
	signs string // the 20 random signs, without the check
}

// NewCode makes a code of 100 bits from a source of randomness, crypto/rand.Reader outside of tests. The error is the source's.
func NewCode(random io.Reader) (Code, error) {
	signs := make([]byte, codeSigns)
	if _, err := io.ReadFull(random, signs); err != nil {
		return Code{}, fmt.Errorf("make an access code: %w", err)
	}
	for i, b := range signs {
		signs[i] = alphabet[b%32] // 256 is a multiple of 32: every sign is as likely as any other
	}
	return Code{string(signs)}, nil
}

// ParseCode reads a code as a person types it: capital or small letters, hyphens and spaces anywhere or nowhere, I and L for 1, O for
// 0. Every error is an ErrSlip; it does not repeat what was typed.
func ParseCode(typed string) (Code, error) {
	signs, err := readSigns(typed)
	if err != nil {
		return Code{}, err
	}
	if n := len(signs); n != codeSigns+1 {
		return Code{}, fmt.Errorf("%w: there should be %d signs", ErrSlip, codeSigns+1)
	}
	if remainder(signs) != 0 {
		return Code{}, ErrSlip
	}
	return Code{signs[:codeSigns]}, nil
}

// readSigns gives the signs typed in the spelling of the alphabet, stopping when there are too many.
func readSigns(typed string) (string, error) {
	var signs strings.Builder
	for _, r := range typed {
		if separates(r) {
			continue
		}
		sign := spelled(r)
		if !strings.ContainsRune(alphabet, sign) {
			return "", fmt.Errorf("%w: %q is not used in codes", ErrSlip, r)
		}
		if signs.WriteRune(sign); signs.Len() > codeSigns+1 {
			break
		}
	}
	return signs.String(), nil
}

// separates says whether a character may stand between signs: white space, dashes, and what is invisible and comes along with copying.
func separates(r rune) bool {
	return unicode.IsSpace(r) || unicode.Is(unicode.Pd, r) || r == '\u2212' || r == '\u200b' || r == '\ufeff'
}

// spelled gives a sign as the alphabet has it.
func spelled(r rune) rune {
	if 'a' <= r && r <= 'z' {
		r += 'A' - 'a'
	}
	switch r {
	case 'I', 'L':
		return '1'
	case 'O':
		return '0'
	}
	return r
}

// remainder is 0 for signs with the right check. It is the value at α of the polynomial whose coefficients are the signs, in
// the field of 32 elements made by α⁵ = α²+1. The powers of α up to the 30th all differ, so with at most 31 signs any single change and
// any swap changes it.
func remainder(signs string) int {
	sum := 0
	for _, sign := range []byte(signs) {
		if sum <<= 1; sum >= 32 {
			sum ^= 0b100101
		}
		sum ^= strings.IndexByte(alphabet, sign)
	}
	return sum
}

// String gives the code as it is handed to the member: in fives with hyphens, the check sign last. ParseCode reads it back.
func (c Code) String() string {
	if c.signs == "" {
		return ""
	}
	check := alphabet[remainder(c.signs+"0")]
	return fmt.Sprintf("%s-%s-%s-%s-%c", c.signs[:5], c.signs[5:10], c.signs[10:15], c.signs[15:], check)
}

// memberKey stretches the code; this is the slow step.
func (c Code) memberKey(s salt, rounds int) []byte {
	if c.signs == "" {
		panic("seal: a Code that was not made by NewCode or ParseCode")
	}
	key, err := pbkdf2.Key(sha256.New, c.signs, s[:], rounds, keySize)
	if err != nil {
		panic("seal: stretch a code: " + err.Error()) // 32 bytes can always be given
	}
	return key
}
