package seal

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Rounds is how often a code is hashed for a new door: the count for PBKDF2 with SHA-256 that the OWASP Password Storage Cheat
// Sheet gives.
const Rounds = 600_000

const (
	maxRounds = 10_000_000    // some seconds; a false ring must not keep a reader busy for longer
	maxEpoch  = 1_000_000_000 // far below what a uint32 and JavaScript's numbers hold
	nameSize  = 15            // 24 signs of 5 bits
	doorMark  = "door1"
)

// A Door is what the maker keeps secret: all keys come from it. It comes from NewDoor or UnmarshalText; methods of the zero Door panic.
// A Door is a plain value and safe for concurrent use.
type Door struct {
	secret [keySize]byte
	salt   salt
	rounds int
	epoch  uint32
}

// NewDoor makes a door in its first epoch from a source of randomness, crypto/rand.Reader outside of tests. Rounds, from 1 to
// 10,000,000, stay with the door for good: Rounds unless in a test. The error is the source's, or says that the rounds are out of bounds.
func NewDoor(random io.Reader, rounds int) (Door, error) {
	d := Door{rounds: rounds, epoch: 1}
	if !validRounds(rounds) {
		return Door{}, fmt.Errorf("make a door: %d rounds: from 1 to %d can be", rounds, maxRounds)
	}
	for _, part := range [][]byte{d.secret[:], d.salt[:]} {
		if _, err := io.ReadFull(random, part); err != nil {
			return Door{}, fmt.Errorf("make a door: %w", err)
		}
	}
	return d, nil
}

func validRounds(n int) bool { return 1 <= n && n <= maxRounds }

func validEpoch(n uint64) bool { return 1 <= n && n <= maxEpoch }

// Epoch counts from 1 how often the content key was changed.
func (d Door) Epoch() uint32 { return d.epoch }

// NextEpoch gives the door with another content key, so that those left out of its ring cannot open what is sealed from then on.
// Every sealed page changes. When a member is removed, write the key file first and the members' list after it: if only the first is
// done the removal can be done again, whereas the other way round the old key would stay in use unnoticed.
func (d Door) NextEpoch() Door {
	d.mustBeMade()
	d.epoch++
	return d
}

// Name gives the file name that says nothing about the path it stands for: 24 small letters and digits, the same in every epoch.
func (d Door) Name(path string) string {
	sum := mac(d.derive(keySize, "name"), []byte(path))
	return base32.NewEncoding(strings.ToLower(alphabet)).EncodeToString(sum[:nameSize])
}

// ContentKey gives the key that the present epoch's pages are sealed with.
func (d Door) ContentKey() ContentKey {
	k := ContentKey{salt: d.salt, epoch: d.epoch}
	copy(k.key[:], d.derive(keySize, "content", decimal(d.epoch)))
	return k
}

// derive makes n bytes from the secret.
func (d Door) derive(n int, purpose ...string) []byte {
	d.mustBeMade()
	return d.salt.derive(d.secret[:], n, purpose...)
}

func (d Door) mustBeMade() {
	if d.epoch == 0 {
		panic("seal: a Door that was not made by NewDoor or UnmarshalText")
	}
}

// String tells doors apart without their secret.
func (d Door) String() string { return fmt.Sprintf("door of site %s in epoch %d", d.salt, d.epoch) }

// GoString is String, so that %#v does not show the secret either.
func (d Door) GoString() string { return d.String() }

// MarshalText writes the door with its secret as one line for the key file, without line break. It must not be published.
func (d Door) MarshalText() ([]byte, error) {
	d.mustBeMade()
	body := fmt.Sprintf("%s.%d.%d.%s.%x", doorMark, d.epoch, d.rounds, d.salt, d.secret)
	return []byte(body + "." + lineCheck(body)), nil
}

// lineCheck tells whether a line was kept whole; it guards against damage, not against malice.
func lineCheck(body string) string {
	sum := sha256.Sum256([]byte(body))
	return hex.EncodeToString(sum[:4])
}

// UnmarshalText reads what MarshalText wrote, white space around it aside. A line that was cut or changed is an ErrDamaged.
func (d *Door) UnmarshalText(text []byte) error {
	line := strings.TrimSpace(string(text))
	parts := strings.Split(line, ".")
	if len(parts) != 6 || parts[0] != doorMark {
		return fmt.Errorf("the door's key is not a line that begins with %q and has 6 parts: %w", doorMark+".", ErrDamaged)
	}
	read := Door{epoch: wholeNumber(parts[1]), rounds: int(wholeNumber(parts[2]))}
	valid := validEpoch(uint64(read.epoch)) && validRounds(read.rounds) &&
		fillHex(read.salt[:], parts[3]) && fillHex(read.secret[:], parts[4])
	if !valid || !writes(read, line) {
		return fmt.Errorf("the door's key does not match its check: %w", ErrDamaged)
	}
	*d = read
	return nil
}

// writes says whether a value is written as exactly this text.
func writes(v interface{ MarshalText() ([]byte, error) }, text string) bool {
	written, err := v.MarshalText()
	return err == nil && string(written) == text
}

// decimal writes a number for use in keys and associated data.
func decimal(n uint32) string { return strconv.FormatUint(uint64(n), 10) }

// wholeNumber reads one, 0 where there is none or too great a one; what it accepts too freely is found when written again.
func wholeNumber(s string) uint32 {
	n, err := strconv.ParseUint(s, 10, 31)
	if err != nil {
		return 0
	}
	return uint32(n)
}

// fillHex reads exactly as many bytes as there is room for.
func fillHex(to []byte, s string) bool {
	if len(s) != hex.EncodedLen(len(to)) {
		return false
	}
	_, err := hex.Decode(to, []byte(s))
	return err == nil
}
