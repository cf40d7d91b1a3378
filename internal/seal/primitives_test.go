package seal_test

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/pbkdf2"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func unhex(t testing.TB, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	require.NoError(t, err)
	return b
}

// The primitives that the scheme is built of, with the parameters it uses, against published values. Where a row says so, it
// was written down from memory and agrees with a second implementation.

func TestHKDF(t *testing.T) {
	t.Parallel()
	tests := []struct {
		source, key, salt, info string
		want                    string
	}{
		{
			"RFC 5869, A.1", strings.Repeat("0b", 22), "000102030405060708090a0b0c", "f0f1f2f3f4f5f6f7f8f9",
			"3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865",
		},
		{
			"RFC 5869, A.2",
			"000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f202122232425262728292a2b2c2d2e2f303132333435363738393a3b3c3d3e3f404142434445464748494a4b4c4d4e4f",
			"606162636465666768696a6b6c6d6e6f707172737475767778797a7b7c7d7e7f808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9fa0a1a2a3a4a5a6a7a8a9aaabacadaeaf",
			"b0b1b2b3b4b5b6b7b8b9babbbcbdbebfc0c1c2c3c4c5c6c7c8c9cacbcccdcecfd0d1d2d3d4d5d6d7d8d9dadbdcdddedfe0e1e2e3e4e5e6e7e8e9eaebecedeeeff0f1f2f3f4f5f6f7f8f9fafbfcfdfeff",
			"b11e398dc80327a1c8e7f78c596a49344f012eda2d4efad8a050cc4c19afa97c59045a99cac7827271cb41c65e590e09da3275600c2f09b8367793a9aca3db71cc30c58179ec3e87c14c01d5c1f3434f1d87",
		},
		{
			"RFC 5869, A.3", strings.Repeat("0b", 22), "", "",
			"8da4e775a563c18f715f802a063c5a31b8a11f5c5ee1879ec3454e5f3c738d2d9d201395faa4b61a96c8",
		},
	}
	for _, test := range tests {
		t.Run(test.source, func(t *testing.T) {
			t.Parallel()
			got, err := hkdf.Key(sha256.New, unhex(t, test.key), unhex(t, test.salt), string(unhex(t, test.info)), len(test.want)/2)
			require.NoError(t, err)
			assert.Equal(t, test.want, hex.EncodeToString(got))
		})
	}
}

func TestHMAC(t *testing.T) {
	t.Parallel()
	tests := []struct{ source, key, data, want string }{
		{"RFC 4231, 4.2", strings.Repeat("0b", 20), hex.EncodeToString([]byte("Hi There")), "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"},
		{"RFC 4231, 4.3", hex.EncodeToString([]byte("Jefe")), hex.EncodeToString([]byte("what do ya want for nothing?")), "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"},
		{"RFC 4231, 4.4", strings.Repeat("aa", 20), strings.Repeat("dd", 50), "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"},
		{"RFC 4231, 4.7", strings.Repeat("aa", 131), hex.EncodeToString([]byte("Test Using Larger Than Block-Size Key - Hash Key First")), "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54"},
	}
	for _, test := range tests {
		t.Run(test.source, func(t *testing.T) {
			t.Parallel()
			h := hmac.New(sha256.New, unhex(t, test.key))
			h.Write(unhex(t, test.data))
			assert.Equal(t, test.want, hex.EncodeToString(h.Sum(nil)))
		})
	}
}

func TestPBKDF2(t *testing.T) {
	t.Parallel()
	tests := []struct {
		source, password, salt string
		rounds                 int
		want                   string
	}{
		{
			"RFC 7914, 11, first; from memory", "passwd", "salt", 1,
			"55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783",
		},
		{
			"RFC 7914, 11, second; from memory", "Password", "NaCl", 80000,
			"4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d",
		},
	}
	for _, test := range tests {
		t.Run(test.source, func(t *testing.T) {
			t.Parallel()
			got, err := pbkdf2.Key(sha256.New, test.password, []byte(test.salt), test.rounds, len(test.want)/2)
			require.NoError(t, err)
			assert.Equal(t, test.want, hex.EncodeToString(got))
		})
	}
}

func TestGCM(t *testing.T) {
	t.Parallel()
	const spec = "McGrew and Viega, The Galois/Counter Mode of Operation (GCM), appendix B, test case "
	feffe := strings.Repeat("feffe9928665731c6d6a8f9467308308", 2)
	plain := "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39"
	tests := []struct{ source, key, nonce, aad, plain, want string }{
		{spec + "13; from memory", strings.Repeat("00", 32), strings.Repeat("00", 12), "", "", "530f8afbc74536b9a963b4f1c4cb738b"},
		{
			spec + "14; from memory", strings.Repeat("00", 32), strings.Repeat("00", 12), "", strings.Repeat("00", 16),
			"cea7403d4d606b6e074ec5d3baf39d18 d0d1c8a799996bf0265b98b5d48ab919",
		},
		{
			spec + "16; from memory", feffe, "cafebabefacedbaddecaf888", "feedfacedeadbeeffeedfacedeadbeefabaddad2", plain,
			"522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662 76fc6ece0f4e1768cddf8853bb2d551b",
		},
		{
			"Go 1.26, crypto/cipher, gcm_test.go, key=32, plaintext=16", feffe, "54cc7dc2c37ec006bcc6d1da", "", "007c5e5b3e59df24a7c355584fc1518d",
			"d50b9e252b70945d4240d351677eb10f937cdaef6f2822b6a3191654ba41b197",
		},
	}
	for _, test := range tests {
		t.Run(test.source, func(t *testing.T) {
			t.Parallel()
			block, err := aes.NewCipher(unhex(t, test.key))
			require.NoError(t, err)
			aead, err := cipher.NewGCM(block)
			require.NoError(t, err)
			got := aead.Seal(nil, unhex(t, test.nonce), unhex(t, test.plain), unhex(t, test.aad))
			assert.Equal(t, hex.EncodeToString(unhex(t, test.want)), hex.EncodeToString(got))
		})
	}
}
