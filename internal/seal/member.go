package seal

import (
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
)

const (
	locatorSize = 16
	wrapSize    = nonceSize + keySize + tagSize
	memberMark  = "member1"
)

// A locator finds a member's entry in the ring and tells nothing of the code.
type locator [locatorSize]byte

func (l locator) String() string { return hex.EncodeToString(l[:]) }

// A wrapped key is a box that holds a key.
type wrapped [wrapSize]byte

func (w wrapped) String() string { return base64.StdEncoding.EncodeToString(w[:]) }

// read reads what String wrote.
func (w *wrapped) read(s string) bool {
	if len(s) != base64.StdEncoding.EncodedLen(len(w)) {
		return false
	}
	_, err := base64.StdEncoding.Decode(w[:], []byte(s))
	return err == nil
}

// A Member is what the members' list keeps of a member instead of the code: it lets the door put the member on the ring, in
// this epoch and later ones, and is of no use without the door.
type Member struct {
	locator locator
	sealed  wrapped // the wrap key, sealed under a key of the door
}

// A credential is what a code comes to at a door.
type credential struct {
	locator locator
	wrapKey []byte
}

func (c Code) credential(s salt, rounds int) credential {
	key := c.memberKey(s, rounds)
	return credential{locator(s.derive(key, locatorSize, "locator")), s.derive(key, keySize, "wrap")}
}

// Admit makes a member of the holder of a code. It takes a good part of a second (Rounds). The same code gives the same Member.
func (d Door) Admit(c Code) Member {
	d.mustBeMade()
	who := c.credential(d.salt, d.rounds)
	key, nonceKey := d.derive(keySize, "member", who.locator.String()), d.derive(keySize, "member-nonce", who.locator.String())
	return Member{who.locator, wrapped(closeBox(key, nonceKey, d.salt.memberAAD(who.locator), who.wrapKey))}
}

// wrapKey opens what Admit sealed.
func (d Door) wrapKey(m Member) ([]byte, error) {
	return openBox(d.derive(keySize, "member", m.locator.String()), d.salt.memberAAD(m.locator), m.sealed[:])
}

func (s salt) memberAAD(l locator) string { return joined("member", version, s.String(), l.String()) }

// Locator gives the name of the member's entry in the ring, 32 hexadecimal digits. It is public.
func (m Member) Locator() string { return m.locator.String() }

// MarshalText writes the member as one line of letters, digits and "+/=." for the members' list. The list is not for
// publishing, but opens nothing without the door.
func (m Member) MarshalText() ([]byte, error) {
	return fmt.Appendf(nil, "%s.%s.%s", memberMark, m.locator, m.sealed), nil
}

// UnmarshalText reads what MarshalText wrote, white space around it aside. The error is an ErrDamaged; damage that leaves the form whole
// shows when the ring is made.
func (m *Member) UnmarshalText(text []byte) error {
	line := strings.TrimSpace(string(text))
	parts := strings.Split(line, ".")
	var read Member
	if len(parts) != 3 || parts[0] != memberMark || !fillHex(read.locator[:], parts[1]) || !read.sealed.read(parts[2]) || !writes(read, line) {
		return fmt.Errorf("a member's key is not a line that begins with %q and has 3 parts: %w", memberMark+".", ErrDamaged)
	}
	*m = read
	return nil
}
