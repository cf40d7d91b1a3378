// Package words says what stands around a maker's text in the reader's language: sentences, numbers, dates and lists.
package words

import (
	"bytes"
	"cmp"
	"fmt"
	"html/template"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// English is the language that the others are measured by: it has every key, and lends what another has not.
const English = "en"

// A Language is what pages say in one language. It is only read once it is made, and a nil one says the keys themselves.
type Language struct {
	code    string
	tag     language.Tag
	point   string // the decimal sign, "" for a point
	texts   map[string]*text
	group   string   // of thousands
	missing []string // keys that English lends
}

// Code gives the language's tag by BCP 47, such as "de".
func (l *Language) Code() string {
	if l == nil {
		return English
	}
	return l.code
}

// Direction gives which way the language is written: ltr or rtl.
func (l *Language) Direction() string {
	if l.sign("dir") == "rtl" {
		return "rtl"
	}
	return "ltr"
}

// IsEnglish says whether the language is English: what has no translation may then stand unmarked.
func (l *Language) IsEnglish() bool { return l.Code() == English }

// Missing lists the keys that the language has not and that are said in English, sorted.
func (l *Language) Missing() []string { return slices.Clone(l.missing) }

// Keys lists every key, sorted.
func (l *Language) Keys() []string {
	if l == nil {
		return nil
	}
	return slices.Sorted(maps.Keys(l.texts))
}

// Has says whether there is a text under a key.
func (l *Language) Has(key string) bool {
	return l.text(key) != nil
}

// text gives what stands under a key, nil where nothing does.
func (l *Language) text(key string) *text {
	if l == nil {
		return nil
	}
	return l.texts[key]
}

// Say gives the text under a key with its places filled: places alternate names and values, which are strings or whole numbers (int, int64).
// A whole number is written with the language's groups, and one that is called count chooses the form of the text. What cannot be said, for
// want of a key or a value, is said as the key.
func (l *Language) Say(key string, places ...any) string {
	t := l.text(key)
	if t == nil {
		return key
	}
	if t.isPlain {
		return t.plain
	}
	said, ok := l.fill(make([]byte, 0, t.size+fillSize), t, places)
	if !ok {
		return key
	}
	return string(said)
}

// Append is Say that adds the text to what is there.
func (l *Language) Append(to []byte, key string, places ...any) []byte {
	if t := l.text(key); t != nil && t.isPlain {
		return append(to, t.plain...)
	} else if t != nil {
		if said, ok := l.fill(to, t, places); ok {
			return said
		}
	}
	return append(to, key...)
}

// fillSize is what values mostly add to a text.
const fillSize = 48

// fill adds a text with its places filled. It keeps no value, so that a call costs no allocation for them.
func (l *Language) fill(to []byte, t *text, places []any) (said []byte, ok bool) {
	if len(places)%2 != 0 {
		return to, false
	}
	start := len(to)
	for _, p := range t.form(l.tag, placed(places, "count")) {
		to = append(to, p.words...)
		if p.place == "" {
			continue
		}
		switch v := placed(places, p.place).(type) {
		case string:
			to = append(to, v...)
		case int:
			to = append(to, l.Count(int64(v))...)
		case int64:
			to = append(to, l.Count(v)...)
		default:
			return to[:start], false
		}
	}
	return to, true
}

// placed gives the value of a place, nil where it is given none; of two that are given the last counts.
func placed(places []any, name string) any {
	for i := len(places) - 2; i >= 0; i -= 2 {
		if given, ok := places[i].(string); ok && given == name {
			return places[i+1]
		}
	}
	return nil
}

// Named gives the text under kind.word, and the word itself where there is none.
func (l *Language) Named(kind, word string) string {
	if l == nil {
		return word
	}
	var room [64]byte
	key := append(append(append(room[:0], kind...), '.'), word...)
	switch t := l.texts[string(key)]; {
	case t == nil:
		return word
	case t.isPlain:
		return t.plain
	}
	return l.Say(string(key))
}

// Try is Say for templates, whose values may be of any type: it tells a key or a place that there is not, and where a place is filled with HTML
// the whole is HTML, the rest of it escaped.
func (l *Language) Try(key string, places ...any) (any, error) {
	t := l.text(key)
	if t == nil {
		return nil, fmt.Errorf("there is no text %q in words/%s.yaml", key, l.Code())
	}
	if t.isPlain {
		return t.plain, nil
	}
	markup, err := holdsHTML(key, places)
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	for _, p := range t.form(l.tag, placed(places, "count")) {
		said := p.words
		if p.place != "" {
			value := placed(places, p.place)
			if value == nil {
				return nil, fmt.Errorf("the text %q needs a value for {%s}", key, p.place)
			}
			if html, is := value.(template.HTML); is {
				b.WriteString(string(html))
				continue
			}
			said = l.value(value)
		}
		if markup {
			said = template.HTMLEscapeString(said)
		}
		b.WriteString(said)
	}
	if markup {
		return template.HTML(b.String()), nil //nolint:gosec // what was not HTML is escaped
	}
	return b.String(), nil
}

// holdsHTML looks names and values over, and says whether a value is HTML.
func holdsHTML(key string, places []any) (markup bool, err error) {
	if len(places)%2 != 0 {
		return false, fmt.Errorf("the text %q is given a place without a value", key)
	}
	for i := 0; i < len(places); i += 2 {
		if _, ok := places[i].(string); !ok {
			return false, fmt.Errorf("the text %q is given the place %v, which is no name", key, places[i])
		}
		_, is := places[i+1].(template.HTML)
		markup = markup || is
	}
	return markup, nil
}

// value writes what fills a place.
func (l *Language) value(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int:
		return l.Count(int64(v))
	case int64:
		return l.Count(v)
	}
	return fmt.Sprint(v)
}

// sign gives a text that has no places, "" where there is none.
func (l *Language) sign(key string) string {
	if !l.Has(key) {
		return ""
	}
	return l.Say(key)
}

// Number writes an exact decimal, such as "1191.4", with the language's decimal sign. It puts in no groups: on a bench a group's sign could be
// read as a decimal one.
func (l *Language) Number(decimal string) string {
	if l == nil || l.point == "" {
		return decimal
	}
	return strings.Replace(decimal, ".", l.point, 1)
}

// AppendNumber is Number that adds the decimal to what is there.
func (l *Language) AppendNumber(to, decimal []byte) []byte {
	at := bytes.IndexByte(decimal, '.')
	if l == nil || l.point == "" || at < 0 {
		return append(to, decimal...)
	}
	to = append(append(to, decimal[:at]...), l.point...)
	return append(to, decimal[at+1:]...)
}

// Figures writes every decimal in a text with the language's decimal sign: "0.5–2 %" becomes "0,5–2 %". What a point joins to more than digits,
// or to a third number (as in a date), is no decimal and stays.
func (l *Language) Figures(s string) string {
	if l == nil || l.point == "" || !strings.Contains(s, ".") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		if !isWord(s[i]) {
			b.WriteByte(s[i])
			i++
			continue
		}
		end := i
		for end < len(s) && (isWord(s[end]) || s[end] == '.' && end+1 < len(s) && isWord(s[end+1])) {
			end++
		}
		run := s[i:end]
		if isDecimal(run) {
			run = strings.Replace(run, ".", l.point, 1)
		}
		b.WriteString(run)
		i = end
	}
	return b.String()
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// isWord says whether a byte is an ASCII letter or digit, which a point may join into one word.
func isWord(c byte) bool {
	return isDigit(c) || 'a' <= c|0x20 && c|0x20 <= 'z' || c == '_'
}

// isDecimal says whether a text is digits with one point among them.
func isDecimal(s string) bool {
	whole, part, cut := strings.Cut(s, ".")
	digits := func(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
	return cut && digits(whole) && digits(part)
}

// Count writes a whole number in groups of three: 10,000.
func (l *Language) Count(n int64) string {
	digits := strconv.FormatInt(n, 10)
	if l == nil || l.group == "" || 0 <= n && n < 1000 {
		return digits
	}
	minus := ""
	if n < 0 {
		minus, digits = "−", digits[1:]
	}
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + l.group + digits[at:]
	}
	return minus + digits
}

// Date writes a day in words that no country reads two ways: 3 May 2026.
func (l *Language) Date(t time.Time) string {
	month := "date.month." + strconv.Itoa(int(t.Month()))
	if !l.Has("date.day") || !l.Has(month) {
		return t.Format("2 January 2006")
	}
	return l.Say("date.day", "day", strconv.Itoa(t.Day()), "month", l.Say(month), "year", strconv.Itoa(t.Year()))
}

// List joins words as a sentence does: "a, b and c".
func (l *Language) List(all []string) string {
	last := len(all) - 1
	if last < 1 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:last], cmp.Or(l.sign("list.between"), ", ")) + cmp.Or(l.sign("list.last"), ", ") + all[last]
}

// Commas joins words that are no sentence: "a, b, c".
func (l *Language) Commas(all []string) string {
	return strings.Join(all, cmp.Or(l.sign("list.between"), ", "))
}

// A text is what stands under a key: one form, or several by number. The general one is always there.
type text struct {
	forms   [plural.Many + 1][]piece // nil where the text has no such form
	counts  bool                     // it has more than one
	isPlain bool                     // it has one, without places: plain
	plain   string
	size    int // of its longest form, places apart
}

// A piece of a text is words, or a place to be filled.
type piece struct{ words, place string }

// newText makes a text of its forms.
func newText(forms map[plural.Form][]piece) *text {
	t := &text{counts: len(forms) > 1}
	for form, pieces := range forms {
		t.forms[form] = pieces
		size := 0
		for _, p := range pieces {
			size += len(p.words)
		}
		t.size = max(t.size, size)
	}
	switch only := t.forms[plural.Other]; {
	case t.counts || len(only) > 1:
	case len(only) == 0:
		t.isPlain = true
	case only[0].place == "":
		t.isPlain, t.plain = true, only[0].words
	}
	return t
}

// form gives the form of the text for a number; for what is no whole number, the general one.
func (t *text) form(tag language.Tag, count any) []piece {
	if t.counts {
		n, whole := int64(0), true
		switch c := count.(type) {
		case int:
			n = int64(c)
		case int64:
			n = c
		default:
			whole = false
		}
		if whole {
			if pieces := t.forms[plural.Cardinal.MatchPlural(tag, small(n), 0, 0, 0, 0)]; pieces != nil {
				return pieces
			}
		}
	}
	return t.forms[plural.Other]
}

// small gives a number with the same last digits, and so the same form, that is within what the rules take.
func small(n int64) int {
	const whole = 1_000_000
	if n < 0 && n > math.MinInt64 {
		n = -n
	}
	if n >= whole {
		return int(n%whole) + whole
	}
	return int(n)
}

// places gives the names of the places in all forms.
func (t *text) places() map[string]bool {
	names := make(map[string]bool)
	for _, pieces := range t.forms {
		for _, p := range pieces {
			if p.place != "" {
				names[p.place] = true
			}
		}
	}
	return names
}

// Places gives the names of the places in a text, sorted, whatever its form.
func (l *Language) Places(key string) []string {
	t := l.text(key)
	if t == nil {
		return nil
	}
	return slices.Sorted(maps.Keys(t.places()))
}
