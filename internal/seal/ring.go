package seal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
)

// ErrUnknown says that a code is well formed and no member has it: it was never given out, or its member was removed.
var ErrUnknown = errors.New("no member has this access code")

const (
	ringStep    = 16      // a ring's entries are a multiple of this
	maxMembers  = 4096    // and of entries too
	maxRingSize = 1 << 20 // bytes of JSON; 4096 entries take half of it
)

// A Ring is published beside the sealed pages: for every member an entry with the content key, wrapped for that member alone,
// among decoys that hide how many there are.
type Ring struct {
	salt    salt
	rounds  int
	epoch   uint32
	entries map[locator]wrapped
}

// Ring makes the ring of the present epoch. It needs no codes. The same door and members, in any order, give the same ring. A member
// admitted at another door or changed by hand is an ErrDamaged; one listed twice, or more than 4096 of them, are errors too.
func (d Door) Ring(members []Member) (Ring, error) {
	if len(members) > maxMembers {
		return Ring{}, fmt.Errorf("%d members: a ring holds %d", len(members), maxMembers)
	}
	r := Ring{d.salt, d.rounds, d.epoch, make(map[locator]wrapped, len(members)+ringStep)}
	content := d.ContentKey()
	for _, m := range members {
		key, err := d.wrapKey(m)
		if err != nil {
			return Ring{}, fmt.Errorf("the member's key that begins with %s.%.8s: %w", memberMark, m.locator, err)
		}
		if _, twice := r.entries[m.locator]; twice {
			return Ring{}, fmt.Errorf("the member's key that begins with %s.%.8s is listed twice", memberMark, m.locator)
		}
		nonceKey := d.salt.derive(key, keySize, "nonce")
		r.entries[m.locator] = wrapped(closeBox(key, nonceKey, r.wrapAAD(m.locator), content.key[:]))
	}
	d.addDecoys(r.entries)
	return r, nil
}

// addDecoys fills up to the next step. A decoy's locator is of the door and its entry of the epoch, as with members: rings of two
// epochs laid side by side show no difference.
func (d Door) addDecoys(entries map[locator]wrapped) {
	for i := 0; len(entries) == 0 || len(entries)%ringStep != 0; i++ {
		number := strconv.Itoa(i)
		at := locator(d.derive(locatorSize, "decoy", number))
		entries[at] = wrapped(d.derive(wrapSize, "decoy", number, decimal(d.epoch)))
	}
}

func (r Ring) wrapAAD(l locator) string {
	return joined("wrap", version, r.salt.String(), decimal(r.epoch), l.String())
}

// Epoch is the epoch whose content key the ring holds.
func (r Ring) Epoch() uint32 { return r.epoch }

// Unlock gives the content key to the holder of a code. It takes a good part of a second (Rounds). The error is ErrUnknown, or
// ErrDamaged where the entry was changed.
func (r Ring) Unlock(c Code) (ContentKey, error) {
	who := c.credential(r.salt, r.rounds)
	entry, ok := r.entries[who.locator]
	if !ok {
		return ContentKey{}, ErrUnknown
	}
	key, err := openBox(who.wrapKey, r.wrapAAD(who.locator), entry[:])
	if err != nil {
		return ContentKey{}, fmt.Errorf("the key ring's entry: %w", err)
	}
	return ContentKey{[keySize]byte(key), r.salt, r.epoch}, nil
}

// ringFile is the ring in JSON; maps are written sorted.
type ringFile struct {
	Version int               `json:"version"`
	Salt    string            `json:"salt"`
	Rounds  int               `json:"rounds"`
	Epoch   uint32            `json:"epoch"`
	Entries map[string]string `json:"entries"`
}

// JSON writes the ring for publishing: one line without white space or line break, the same bytes for the same ring.
func (r Ring) JSON() []byte {
	f := ringFile{1, r.salt.String(), r.rounds, r.epoch, make(map[string]string, len(r.entries))}
	for at, entry := range r.entries {
		f.Entries[at.String()] = entry.String()
	}
	text, err := json.Marshal(f)
	if err != nil {
		panic("seal: write the ring: " + err.Error()) // numbers and plain text
	}
	return text
}

// ParseRing reads what JSON wrote, byte for byte: anything else is an ErrDamaged.
func ParseRing(text []byte) (Ring, error) {
	if len(text) > maxRingSize {
		return Ring{}, fmt.Errorf("the key ring is larger than %d bytes: %w", maxRingSize, ErrDamaged)
	}
	var f ringFile
	if err := json.Unmarshal(text, &f); err != nil {
		return Ring{}, fmt.Errorf("the key ring: %w: %w", ErrDamaged, err)
	}
	r, ok := f.ring()
	if !ok || !bytes.Equal(r.JSON(), text) {
		return Ring{}, fmt.Errorf("the key ring is not written as it should be: %w", ErrDamaged)
	}
	return r, nil
}

// ring checks what was read. A version other than 1 is found when the ring is written again.
func (f ringFile) ring() (Ring, bool) {
	r := Ring{rounds: f.Rounds, epoch: f.Epoch, entries: make(map[locator]wrapped, len(f.Entries))}
	n := len(f.Entries)
	if !fillHex(r.salt[:], f.Salt) || !validRounds(f.Rounds) || !validEpoch(uint64(f.Epoch)) || n == 0 || n%ringStep != 0 || n > maxMembers {
		return Ring{}, false
	}
	for where, what := range f.Entries {
		var at locator
		var entry wrapped
		if !fillHex(at[:], where) || !entry.read(what) {
			return Ring{}, false
		}
		r.entries[at] = entry
	}
	return r, true
}
