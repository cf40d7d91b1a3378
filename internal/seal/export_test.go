package seal

// Insides that the tests look at; nothing outside of them may.
var (
	PaddedSize = paddedSize
	Pad        = pad
	Pack       = pack
	Unpack     = unpack
	PacksBy    = packsBy
	Remainder  = remainder
)

const (
	Alphabet  = alphabet
	AsIs      = asIs
	Gzipped   = gzipped
	HeadSize  = headSize
	MaxEpoch  = maxEpoch
	MaxRounds = maxRounds
)

// ClosePacked seals a layout that pack need not have made.
func (k ContentKey) ClosePacked(path, mediaType string, packed []byte) []byte {
	return k.closePage(path, mediaType, packed)
}

// AAD is what a page is bound to.
func (k ContentKey) AAD(path, mediaType string) string { return k.pageAAD(path, mediaType) }

// Key gives the content key's bytes.
func (k ContentKey) Key() []byte { return k.key[:] }

// Derive gives a key for pages.
func (k ContentKey) Derive(purpose ...string) []byte { return k.derive(purpose...) }

// Insides gives what a code comes to at a door.
func (d Door) Insides(c Code) (memberKey []byte, locator string, wrapKey []byte) {
	who := c.credential(d.salt, d.rounds)
	return c.memberKey(d.salt, d.rounds), who.locator.String(), who.wrapKey
}

// Parts gives the door's fields.
func (d Door) Parts() (secret []byte, site string, rounds int) {
	return d.secret[:], d.salt.String(), d.rounds
}

// Locators lists the ring's entries.
func (r Ring) Locators() map[string]string {
	all := make(map[string]string)
	for at, entry := range r.entries {
		all[at.String()] = entry.String()
	}
	return all
}
