package seal_test

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// shown is the form in which a code is handed out.
var shown = regexp.MustCompile(`^([0-9A-HJKMNP-TV-Z]{5}-){4}[0-9A-HJKMNP-TV-Z]$`)

// chance gives bytes that look random and are the same in every run.
func chance(seed byte) io.Reader { return rand.NewChaCha8([32]byte{seed}) }

func newCode(t testing.TB, random io.Reader) seal.Code {
	t.Helper()
	c, err := seal.NewCode(random)
	require.NoError(t, err)
	return c
}

// goodCodes are spellings of the code whose 20 signs are 01234 56789 ABCDE FGHJK.
var goodCodes = []string{
	"01234-56789-ABCDE-FGHJK-J",
	"0123456789ABCDEFGHJKJ",
	"0123456789abcdefghjkj",
	"  01234 56789 abcde fghjk j\r\n",
	"oI234-56789-ABCDE-FGHJK-J",
	"OL234-56789-abcde-fghjk-j",
	"Oi234 – 56789 — ABCDE − FGHJK‑J",
	"\ufeff01234\u00a056789\u200bABCDE\u3000FGHJK\u0085J",
	"0-1-2-3-4-5-6-7-8-9-A-B-C-D-E-F-G-H-J-K-J",
}

var slips = []struct{ name, typed string }{
	{"nothing", ""},
	{"only hyphens", "-----"},
	{"a sign too few", "01234-56789-ABCDE-FGHJK"},
	{"a sign too many", "01234-56789-ABCDE-FGHJK-J0"},
	{"far too many", strings.Repeat("0", 1<<16)},
	{"a wrong sign", "01234-56789-ABCDE-FGHJM-H"},
	{"a wrong check", "01234-56789-ABCDE-FGHJK-H"},
	{"two signs swapped", "10234-56789-ABCDE-FGHJK-J"},
	{"the check first", "J0123-45678-9ABCD-EFGHJ-K"},
	{"U is no sign", "U1234-56789-ABCDE-FGHJK-J"},
	{"a letter with an accent", "01234-56789-ÁBCDE-FGHJK-J"},
	{"a wide digit", "０1234-56789-ABCDE-FGHJK-J"},
	{"a dotless i", "0ı234-56789-ABCDE-FGHJK-J"},
	{"an underscore", "01234_56789_ABCDE_FGHJK_J"},
	{"no text", "\xff\xfe01234"},
	{"an address", "https://larkrow.example/recipes/"},
}

func TestParseCodeReadsWhatIsTyped(t *testing.T) {
	t.Parallel()
	for _, typed := range goodCodes {
		c, err := seal.ParseCode(typed)
		require.NoError(t, err, "%q", typed)
		assert.Equal(t, goodCodes[0], c.String(), "%q", typed)
	}
}

func TestParseCodeTellsSlips(t *testing.T) {
	t.Parallel()
	for _, slip := range slips {
		t.Run(slip.name, func(t *testing.T) {
			t.Parallel()
			c, err := seal.ParseCode(slip.typed)
			assert.ErrorIs(t, err, seal.ErrSlip)
			assert.NotErrorIs(t, err, seal.ErrUnknown)
			assert.Zero(t, c)
			assert.Empty(t, c.String())
			if len(slip.typed) > 10 {
				assert.NotContains(t, err.Error(), slip.typed, "the message repeats what might be a code")
			}
		})
	}
}

func TestNewCode(t *testing.T) {
	t.Parallel()
	random := chance(1)
	seen := make(map[string]bool)
	signs := make(map[rune]int)
	for range 2000 {
		text := newCode(t, random).String()
		assert.Regexp(t, shown, text)
		assert.False(t, seen[text], "%s came twice", text)
		seen[text] = true
		for _, sign := range text {
			signs[sign]++
		}
	}
	for _, sign := range seal.Alphabet { // 42,000 signs: 1312 of each, give or take 36 (the root of 42000·31/32²); six times that is allowed
		assert.InDelta(t, 42000/32, signs[sign], 215, "%c", sign)
	}
}

func TestNewCodeNeedsRandomness(t *testing.T) {
	t.Parallel()
	broken := errors.New("no noise today")
	_, err := seal.NewCode(iotest.ErrReader(broken))
	assert.ErrorIs(t, err, broken)
	c, err := seal.NewCode(bytes.NewReader(make([]byte, 19)))
	assert.ErrorIs(t, err, io.ErrUnexpectedEOF, "19 signs are no code")
	assert.Zero(t, c)
}

// The check is linear: whether a change is found depends on what is added to the signs, not on the signs. So changes to the code of
// zeros stand for changes to every code; TestCheckIsLinear shows the premise.
func TestCheckFindsEveryWrongSignAndEverySwap(t *testing.T) {
	t.Parallel()
	const n = 21
	for i := range n {
		for a := 1; a < 32; a++ {
			wrong := []byte(strings.Repeat("0", n))
			wrong[i] = seal.Alphabet[a]
			assert.NotZero(t, seal.Remainder(string(wrong)), "sign %d off by %d", i, a)
			for j := i + 1; j < n; j++ { // x and y in each other's place: both are off by x xor y
				wrong[j] = seal.Alphabet[a]
				assert.NotZero(t, seal.Remainder(string(wrong)), "signs %d and %d swapped", i, j)
				wrong[j] = '0'
			}
		}
	}
}

func TestCheckIsLinear(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(1, 2))
	for range 1000 {
		var a, b, sum [21]byte
		for i := range a {
			x, y := random.IntN(32), random.IntN(32)
			a[i], b[i], sum[i] = seal.Alphabet[x], seal.Alphabet[y], seal.Alphabet[x^y]
		}
		assert.Equal(t, seal.Remainder(string(a[:]))^seal.Remainder(string(b[:])), seal.Remainder(string(sum[:])))
	}
}

// The same once more on real codes and through the front door, for every position, every sign and every pair.
func TestParseCodeFindsEveryWrongSignAndEverySwap(t *testing.T) {
	t.Parallel()
	random := chance(2)
	for range 20 {
		good := strings.ReplaceAll(newCode(t, random).String(), "-", "")
		for i := range good {
			for _, sign := range []byte(seal.Alphabet) {
				refused(t, good, good[:i]+string(sign)+good[i+1:])
			}
			for j := range i {
				refused(t, good, good[:j]+good[i:i+1]+good[j+1:i]+good[j:j+1]+good[i+1:])
			}
			refused(t, good, good[:i]+good[i+1:])
		}
	}
}

// refused checks that a text is a slip unless it is the code itself.
func refused(t *testing.T, good, typed string) {
	t.Helper()
	_, err := seal.ParseCode(typed)
	if typed == good {
		assert.NoError(t, err)
	} else {
		assert.ErrorIs(t, err, seal.ErrSlip, "%s for %s", typed, good)
	}
}
