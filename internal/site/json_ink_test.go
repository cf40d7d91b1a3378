package site

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// byLibrary gives a value as encoding/json writes it.
func byLibrary(t testing.TB, v any, lines, inHTML bool) string {
	t.Helper()
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(inHTML)
	if lines {
		enc.SetIndent("", " ")
	}
	require.NoError(t, enc.Encode(v))
	return strings.TrimSuffix(b.String(), "\n")
}

// Whatever a text is, it is written as encoding/json writes it, as a value and as a key.
func FuzzJSONInk(f *testing.F) {
	for _, words := range hostileWords {
		f.Add(words)
	}
	for _, words := range []string{"", "plain", "5 °C – “warm”", "</script>", "a & b", `"\`, "\x00\t\n\u007f", "\u2028", "a\u2029", "\xff", "a\xe2\x80", "\u2027\u202a", "\U0001F33F", "\xed\xa0\x80"} {
		f.Add(words)
	}
	f.Fuzz(func(t *testing.T, words string) {
		for _, inHTML := range []bool{false, true} {
			for _, lines := range []bool{false, true} {
				got := inked(jsonInk{lines: lines, inHTML: inHTML}, func(o *jsonInk) { o.array("", func() { o.text("", words) }) })
				assert.Equal(t, byLibrary(t, []string{words}, lines, inHTML), string(got), "%q", words)
			}
			got := inked(jsonInk{inHTML: inHTML}, func(o *jsonInk) {
				o.object("", func() { o.text(o.escaped(words), words) })
			})
			if words != "" {
				assert.Equal(t, byLibrary(t, map[string]string{words: words}, false, inHTML), string(got), "%q", words)
			}
		}
	})
}

// Objects and arrays, full and empty, stand as encoding/json has them.
func TestJSONInk(t *testing.T) {
	t.Parallel()
	type point struct {
		X string `json:"x"`
		N int    `json:"n"`
	}
	shape := struct {
		Name   string     `json:"name"`
		Is     bool       `json:"is"`
		Points []point    `json:"points"`
		None   []string   `json:"none"`
		Whole  [][]int    `json:"whole"`
		Empty  struct{}   `json:"empty"`
		Deep   [][]string `json:"deep"`
	}{"a", true, []point{{"1.5", -1}, {"7/20", 0}}, []string{}, [][]int{{1, 2}, {}}, struct{}{}, [][]string{{"b"}}}
	write := func(o *jsonInk) {
		o.object("", func() {
			o.text("name", "a")
			o.anyText("left", "")
			o.truth("is", true)
			o.array("points", func() {
				o.object("", func() {
					o.decimal("x", quantity.Fraction(3, 2), 6)
					o.whole("n", -1)
				})
				o.object("", func() {
					o.exact("x", quantity.Fraction(7, 20))
					o.whole("n", 0)
				})
			})
			o.texts("none", nil)
			o.array("whole", func() {
				o.wholes("", []int{1, 2})
				o.wholes("", nil)
			})
			o.object("empty", func() {})
			o.array("deep", func() { o.texts("", []string{"b"}) })
		})
	}
	for _, lines := range []bool{false, true} {
		for range 2 { // in a row that was written in before
			assert.Equal(t, byLibrary(t, shape, lines, false), string(inked(jsonInk{lines: lines}, write)))
		}
	}
}
