package spell_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/spell"
)

func TestTidy(t *testing.T) {
	t.Parallel()
	for words, want := range map[string]string{
		"": "", " ": "", "a": "a", "3 %": "3 %", " 3 %": "3 %", "3 % ": "3 %", "3  %": "3 %", "3\t%": "3 %", "3\n%": "3 %", "75\u00a0°C": "75 °C", "75 °C": "75 °C", "karité \u2003 butter": "karité butter", "\x7f": "\x7f",
	} {
		assert.Equal(t, want, spell.Tidy(words), "%q", words)
	}
}

func FuzzTidy(f *testing.F) {
	f.Add("one  two")
	f.Add("één twee\u0085")
	f.Fuzz(func(t *testing.T, words string) {
		assert.Equal(t, strings.Join(strings.Fields(words), " "), spell.Tidy(words))
	})
}
