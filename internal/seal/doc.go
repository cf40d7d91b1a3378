// Package seal locks pages for members with access codes.
//
// The wire format, version 1. Whoever reads sealed pages (a script in the page) needs nothing but this comment.
//
// # Words
//
// A Door is the secret state of one site: secret (32 random bytes), salt (16 random bytes, public), rounds, and epoch, a whole
// number from 1 that is raised when a member is to be shut out. Every member has one Code. The Ring is published; it hands the
// content key of the present epoch to whoever has a code. All pages of an epoch are sealed under keys from that content key.
//
//	‖        bytes one after the other
//	a ␀ b    two texts with one zero byte between
//	text     UTF-8; numbers in it are decimal without leading zeros; hex is in small letters; base64 is the standard one with padding
//	site     the salt in hex, 32 signs: it names the site wherever something is bound to it
//	HKDF(key, info, n)   HKDF-SHA256 (RFC 5869), its salt always the site's 16 bytes, n bytes out
//	HMAC(key, data)      HMAC-SHA256 (RFC 2104)
//	GCM(key, nonce, aad, plain)  AES-256-GCM (NIST SP 800-38D): the ciphertext ‖ the 16-byte tag, as WebCrypto gives and takes it
//
// A box is nonce (12 bytes) ‖ GCM(key, nonce, aad, plain). Nonces are not random but nonce = the first 12 bytes of
// HMAC(nonce key, aad ‖ plain), so that equal input gives equal bytes and two texts never share a nonce. A reader takes the nonce
// from the box and needs no nonce key.
//
// # Code
//
// 21 signs of the alphabet 0123456789ABCDEFGHJKMNPQRSTVWXYZ (Crockford's base 32: no I, L, O, U), worth 0 to 31 in this order. The
// first 20 are random, 100 bits; the last is the check. They are shown in fives: XXXXX-XXXXX-XXXXX-XXXXX-X.
//
// To read what was typed: drop white space, dashes and invisible joins (JavaScript: /[\s\u0085\u200b\u2212\p{Pd}]/gu); make the
// letters a to z capitals; read I and L as 1 and O as 0. There must now be 21 signs, all of the alphabet, and this must leave 0:
//
//	sum = 0
//	for each sign, from the left:
//		sum = 2 · sum
//		if sum ≥ 32: sum = sum xor 37
//		sum = sum xor the sign's worth
//
// That is a polynomial over the field of 32 elements at a root of x⁵+x²+1, whose powers 0 to 20 all differ: every single wrong
// sign, every swap of two signs wherever they stand, and every pair of equal neighbours mistyped in the same way leave something
// else than 0; of all other faults one in 32 gets by. So a slip of the fingers is told at once and without the ring, and apart from
// a code that nobody has.
//
// Codes are only ever made by NewCode. A code of one's own choosing cannot be told from a made one if its check is right, but has
// not its 100 bits, and whoever has the ring can try codes for as long as he likes: offer no way to choose one.
//
// # Member
//
//	memberKey = PBKDF2-HMAC-SHA256 (RFC 8018) of the first 20 signs as ASCII, salt the site's 16 bytes, rounds as the ring says, 32 bytes
//	locator   = HKDF(memberKey, "locator", 16)
//	wrapKey   = HKDF(memberKey, "wrap", 32)
//
// # Ring
//
// JSON without white space, its keys in this order, entries sorted by locator:
//
//	{"version":1,"salt":hex,"rounds":number,"epoch":number,"entries":{locator in hex: base64 of the entry, …}}
//
// An entry is a box of 60 bytes:
//
//	key = wrapKey, aad = "wrap" ␀ "1" ␀ site ␀ epoch ␀ locator in hex, plain = contentKey (32 bytes)
//	nonce key = HKDF(wrapKey, "nonce", 32)
//
// There are always 16, 32, 48 … entries; those that no member has are decoys: their locators are HKDF(secret, "decoy" ␀ number, 16)
// and their entries HKDF(secret, "decoy" ␀ number ␀ epoch, 60), numbers from 0 up. Like a member's, a decoy's locator outlives the epoch
// and its entry does not.
//
// A reader refuses any other version, works out the locator, and says that nobody has this code if there is no such entry.
//
// # Page
//
//	contentKey = HKDF(secret, "content" ␀ epoch, 32)
//	pageKey    = HKDF(contentKey, "page" ␀ path, 32)
//	nonce key  = HKDF(contentKey, "nonce" ␀ path, 32)
//	aad        = "sealed-page" ␀ "1" ␀ site ␀ epoch ␀ path ␀ media type
//	plain      = coding ‖ length ‖ data ‖ zeros
//
// A sealed page is the box of these, and nothing more. Coding is one byte: 0 for data as it is, 1 for data compressed with gzip
// (RFC 1952, one member). Length is that of data (as compressed) in four bytes, the greatest first. Zeros fill up to a whole number of
// steps: 4096 bytes, or from 65536 bytes on the greatest power of two that is at most an eighth of 5 + length. So the size
// tells of a small page only how many 4 KiB it takes, and of a large one the first four binary digits. At most 32 MiB (MaxPage)
// come out.
//
// The path is what the reader already knows the page by, compared byte for byte: the address below the site's root for a page
// that the open edition mentions; the opaque name (Door.Name) for a file that it does not.
//
//	name = HMAC(HKDF(secret, "name", 32), path)[:15] in the alphabet of codes, small letters: 24 signs
//
// Names come from the secret, not from the content key: they stay when the epoch is raised, so that bookmarks hold, and members
// cannot work them out: sealed pages name the files they need.
//
// # What is kept by the maker
//
//	key file   "door1." epoch "." rounds "." salt in hex "." secret in hex "." check, the check being the first 4 bytes of
//	           SHA-256 of all before its dot, in hex
//	member     "member1." locator in hex "." base64 of a box: key = HKDF(secret, "member" ␀ locator in hex, 32),
//	           nonce key = HKDF(secret, "member-nonce" ␀ locator in hex, 32), aad = "member" ␀ "1" ␀ site ␀ locator in hex,
//	           plain = wrapKey
//
// Publishing needs the key file and the members' lines and no code. The members' lines without the key file open nothing.
//
// # Limits
//
// What members have opened or kept stays readable to them after the epoch is raised. Codes can be shared. Any member could make a
// page that others open. Whoever keeps every ring ever published sees a locator come when a member joins and one go when one leaves;
// from one ring alone members cannot be told from decoys. An older ring with its older pages still opens: a reader should
// remember the highest epoch seen. Equal bytes are promised for one release of Go, since compression may change with the next; what
// was sealed before still opens.
package seal
