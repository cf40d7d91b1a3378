package markdown_test

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/markdown"
)

// shown gives the page of a single paragraph without its tags, and the first issue's message.
func shown(t testing.TB, body string) (string, string) {
	t.Helper()
	d := markdown.New().Parse(body)
	page, err := d.HTML(echo{})
	require.NoError(t, err)
	text := strings.TrimSuffix(strings.TrimPrefix(string(page), "<p>"), "</p>\n")
	if len(d.Issues) == 0 {
		return text, ""
	}
	return text, d.Issues[0].Message
}

// TestTemperature compares with °F = °C × 9/5 + 32 (NIST SP 811, B.8), rounded to whole degrees.
func TestTemperature(t *testing.T) {
	t.Parallel()
	tests := []struct{ in, given, other string }{
		{"75 °C", "75 °C", "167 °F"},
		{"75°C", "75 °C", "167 °F"},
		{"75 ℃", "75 °C", "167 °F"},
		{"75 ºC", "75 °C", "167 °F"},
		{"75\u00a0°C", "75 °C", "167 °F"},
		{"167 °F", "167 °F", "75 °C"},
		{"167 ℉", "167 °F", "75 °C"},
		{"70–75 °C", "70–75 °C", "158–167 °F"},
		{"70-75 °C", "70–75 °C", "158–167 °F"},
		{"70 to 75 °C", "70–75 °C", "158–167 °F"},
		{"70 °C – 75 °C", "70–75 °C", "158–167 °F"},
		{"37.5 °C", "37.5 °C", "100 °F"}, // 99.5
		{"37,5 °C", "37.5 °C", "100 °F"},
		{"0 °C", "0 °C", "32 °F"},
		{"-18 °C", "−18 °C", "0 °F"}, // −0.4
		{"−40 °C", "−40 °C", "−40 °F"},
		{"-20–-18 °C", "−20–−18 °C", "−4–0 °F"},
		{"0 °F", "0 °F", "−18 °C"},             // −17.8
		{"31.1 °F", "31.1 °F", "−1 °C"},        // −0.5, away from zero
		{"32.9 °F", "32.9 °F", "1 °C"},         // 0.5
		{"70–70.2 °C", "70–70.2 °C", "158 °F"}, // both ends are 158
	}
	for _, test := range tests {
		got, issue := shown(t, ":temp["+test.in+"]")
		assert.Equal(t, `<span class="temp">`+test.given+" <small>"+test.other+"</small></span>", got, test.in)
		assert.Empty(t, issue, test.in)
	}
	for _, bad := range []string{
		"75", "°C", "hot", "70–75", "1e3 °C", "75 °K", "- °C", "70– °C", "–75 °C–80 °C", "12345 °C",
		"1. °C", "75 °C °C", "--5 °C", "−-5 °C", "-273.16 °C", "-459.68 °F", "80–70 °C", "70–80–90 °C",
		"about 70 °C", "70 °F–75 °C", "<b>70 °C",
	} {
		got, issue := shown(t, ":temp["+bad+"]")
		assert.NotEmpty(t, issue, bad)
		assert.NotContains(t, got, "small", bad)
	}
}

// TestTemperatureExact compares with rational arithmetic over the whole range that a workroom reaches.
func TestTemperatureExact(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-60_000, 400_000).Draw(t, "thousandths")
		celsius := new(big.Rat).SetFrac64(n, 1000)
		fahrenheit := new(big.Rat).Add(new(big.Rat).Mul(celsius, big.NewRat(9, 5)), big.NewRat(32, 1))
		want := strings.Replace(fahrenheit.FloatString(0), "-", "−", 1) // half away from zero
		if want == "−0" {
			want = "0"
		}
		d := markdown.New().Parse(fmt.Sprintf(":temp[%s °C]", celsius.FloatString(3)))
		page, err := d.HTML(echo{})
		require.NoError(t, err)
		assert.Contains(t, string(page), "<small>"+want+" °F</small>")
		assert.Empty(t, d.Issues)
	})
}

// timeSpan is a time as drawn: seconds at least, at most, and what is shown.
var timeSpan = regexp.MustCompile(`^<span class="time"(?: data-seconds="(\d+)")?(?: data-to="(\d+)")?>([^<]*)</span>$`)

func TestTime(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{ // as shown, and in seconds
		"3–5 min": "3–5 min 180 300", "3-5 min": "3–5 min 180 300", "3 to 5 minutes": "3–5 minutes 180 300", "30s": "30s 30", "1 hour": "1 hour 3600",
		"1½ hours": "1½ hours 5400", "1 1/2 h": "1 1/2 h 5400", "½ h": "½ h 1800", "1/2–1 h": "1/2–1 h 1800 3600", "2.5 h": "2.5 h 9000", "3–3 min": "3–3 min 180",
		"1 h 30 min": "1 h 30 min 5400", "1h 30min": "1h 30min 5400", "4  weeks": "4 weeks 2419200", "6 months": "6 months 15778800", "1 day": "1 day 86400",
		"45 sec": "45 sec 45", "1 month": "1 month 2629800", "2,5 h": "2,5 h 9000", "9999999999999999999 h": "9999999999999999999 h",
	} {
		got, issue := shown(t, ":time["+in+"]")
		parts := timeSpan.FindStringSubmatch(got)
		require.NotNil(t, parts, got)
		assert.Equal(t, want, strings.TrimRight(parts[3]+" "+parts[1]+" "+parts[2], " "), in)
		assert.Empty(t, issue, in)
	}
	for _, bad := range []string{
		"5", "min", "five min", "5 fortnights", "overnight", "5 min later", "-5 min", "5– min", "–5 min", "5–6–7 min",
		"1/0 h", "1 2 h", "5 to min", "5 m", "5 min,", "to 5 min", "1.5.5 h", "5\u200b min", "t5 min",
	} {
		_, issue := shown(t, ":time["+bad+"]")
		assert.Contains(t, issue, bad, "names what was written")
	}
}

func TestHighlight(t *testing.T) {
	t.Parallel()
	converter := markdown.New()
	tests := []struct{ name, language, code, want string }{
		{"known", "json", "1\n", `<pre class="code"><code><span class="mi">1</span>` + "\n</code></pre>\n"},
		{"unknown", "larkish", "<1>", "<pre class=\"code\"><code>&lt;1&gt;</code></pre>\n"},
		{"none", "", "a", "<pre class=\"code\"><code>a</code></pre>\n"},
		{"empty", "yaml", "", "<pre class=\"code\"><code></code></pre>\n"},
		{"a name that no language has", strings.Repeat("yaml", 100), "a", "<pre class=\"code\"><code>a</code></pre>\n"},
		{"a control character", "", "a\x1bb", "<pre class=\"code\"><code>a\ufffdb</code></pre>\n"},
	}
	for _, test := range tests {
		for range 2 { // made, then remembered
			assert.Equal(t, test.want, string(converter.Highlight(test.language, test.code)), test.name)
		}
	}
}

// TestHighlightKeepsWords shows that marking code up changes none of its characters, in any of the languages that
// handbooks use, and that more code than is remembered does no harm.
func TestHighlightKeepsWords(t *testing.T) {
	t.Parallel()
	converter := markdown.New()
	for _, language := range []string{"yaml", "json", "sh", "html", "css", "go", "toml", "markdown", "diff", "text"} {
		for i := range 4 {
			code := fmt.Sprintf("key: %d # <note> & \"more\" 'less'\n  - {a: [1, 2.5], b: ½}\n%s\n", i, strings.Repeat("x = y\n", 40*i))
			page := string(converter.Highlight(language, code))
			assertSafe(t, page)
			assert.Equal(t, code, textOf(page), language)
		}
	}
}

// textOf gives a page's text without its elements.
func textOf(page string) string {
	var b strings.Builder
	tokens := html.NewTokenizer(strings.NewReader(page))
	for kind := tokens.Next(); kind != html.ErrorToken; kind = tokens.Next() {
		if kind == html.TextToken {
			b.WriteString(tokens.Token().Data)
		}
	}
	return strings.TrimSuffix(b.String(), "\n") // after </pre>
}
