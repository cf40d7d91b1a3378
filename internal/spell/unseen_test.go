package spell_test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/unicode/bidi"

	"larkrow.example/stillroom/internal/spell"
)

func TestUnseen(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, text string
		at         int
	}{
		{"plain", "Shea butter, refined 5 % – crème", -1},
		{"empty", "", -1},
		{"an override", "5.1 \u202Eg", 4},
		{"an isolate", "\u2066a\u2069", 0},
		{"a zero-width space", "Glyce\u200Brin", 5},
		{"a soft hyphen", "Feuchtigkeits\u00ADcreme", 13},
		{"a byte order mark within", "a\uFEFFb", 1},
		{"a word joiner", "a\u2060b", 1},
		{"a joiner in a Latin word", "Glyce\u200Drin", 5},
		{"a filler of Hangul", "Glycerin\u3164", 8},
		{"a blank of Braille", "\u2800", 0},
		{"a tag", "oil\U000E0061", 3},
		{"spaces of other widths are seen", "5\u00A0%\u2009a\u3000b", -1},
		{"a mark beside Hebrew", "קרם\u200F 5 %", -1},
		{"a mark without it", "cream\u200F 5 %", 5},
		{"joiners of Persian and Hindi", "می\u200Cخواهم क्\u200Dष", -1},
		{"a picture of several", "👩\u200D🔬 and 👩🏽\u200D🔬 and ❤\uFE0F\u200D🔥", -1},
		{"a flag", "🏴\U000E0067\U000E0062\U000E0073\U000E0063\U000E0074\U000E007F", -1},
		{"a variation", "⚠\uFE0F hot", -1},
		{"letters with accents in two parts", "cre\u0300me", -1},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			at, size := spell.Unseen(row.text)
			assert.Equal(t, row.at, at)
			if at >= 0 {
				assert.Equal(t, 1, utf8.RuneCountInString(row.text[at:at+size]))
			}
		})
	}
}

// What turns the text about is what the published table of the algorithm says it is.
func TestTurns(t *testing.T) {
	t.Parallel()
	turning := []bidi.Class{bidi.LRE, bidi.RLE, bidi.LRO, bidi.RLO, bidi.PDF, bidi.LRI, bidi.RLI, bidi.FSI, bidi.PDI}
	for r := rune(0); r <= unicode.MaxRune; r++ {
		if !utf8.ValidRune(r) {
			continue
		}
		p, _ := bidi.LookupRune(r)
		want := false
		for _, class := range turning {
			want = want || p.Class() == class
		}
		if spell.Turns(r) != want {
			t.Errorf("%s", spell.Code(r))
		}
	}
}

// Between Latin letters nothing that leaves no ink passes: every format character of Unicode is found there.
func TestUnseenFindsAllFormat(t *testing.T) {
	t.Parallel()
	for r := rune(0x80); r <= unicode.MaxRune; r++ {
		if !unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Prepended_Concatenation_Mark, r) {
			continue
		}
		if at, _ := spell.Unseen("oil" + string(r) + "oil"); at != 3 {
			t.Errorf("%s passes", spell.Code(r))
		}
	}
}

func TestMixed(t *testing.T) {
	t.Parallel()
	for name, at := range map[string]int{
		"Glycerin": -1, "Crème brûlée": -1, "": -1, "Глицерин": -1, "Глицерин (Glycerin)": -1, "pH-нейтральный": -1, "5 мл": -1,
		"β-Carotene": -1, "40 μm": -1, "40 µm": -1, "ΔT": -1, "蜜蜂 wax": -1, "Μέλι": -1,
		"Glyc\u0435rin": 4, "\u0410loe vera": 0, "Shea \u0412utter": 5, "W\u03BFol": 1, "ОMEGA": 0, "Cre\u0300m\u0435": 6,
	} {
		got, _ := spell.Mixed(name)
		assert.Equal(t, at, got, "%q", name)
	}
}

func TestPiled(t *testing.T) {
	t.Parallel()
	for text, want := range map[string][2]int{
		"": {-1, 0}, "crème brûlée": {-1, 0}, "e" + strings.Repeat("\u0301", 6): {-1, 0}, "e" + strings.Repeat("\u0301", 7): {1, 14},
		"ab" + strings.Repeat("\u0301", 200) + "c": {2, 400}, strings.Repeat("e\u0301\u0302", 50): {-1, 0}, "שָׁ֑ב": {-1, 0},
	} {
		at, size := spell.Piled(text)
		assert.Equal(t, want, [2]int{at, size}, "%q", text)
	}
}

func FuzzUnseen(f *testing.F) {
	for _, s := range []string{"", "Glycerin", "a\u202Eb", "👩\u200D🔬", "\xff\u200B", "می\u200Cخواهم", "Glyc\u0435rin"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		at, size := spell.Unseen(text)
		if at < 0 {
			assert.NotContains(t, text, "\u202E")
			assert.False(t, strings.ContainsFunc(text, spell.Turns), "what turns the text about passes")
		} else {
			r, n := utf8.DecodeRuneInString(text[at:])
			assert.Equal(t, n, size)
			assert.False(t, r < 0x80 || unicode.IsSpace(r), "%s shows", spell.Code(r))
			before, _ := spell.Unseen(text[:at])
			// What stands before can lose what made it needed, such as the second half of a joined pair, but gains nothing.
			assert.LessOrEqual(t, before, at)
		}
		if at, size := spell.Mixed(text); at >= 0 {
			r, n := utf8.DecodeRuneInString(text[at:])
			assert.Equal(t, n, size)
			assert.True(t, unicode.In(r, unicode.Cyrillic, unicode.Greek))
			assert.True(t, strings.ContainsFunc(text, func(r rune) bool { return unicode.Is(unicode.Latin, r) }))
		}
	})
}
