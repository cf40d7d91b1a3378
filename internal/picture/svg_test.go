package picture_test

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/picture"
)

const svgHead = `<svg xmlns="http://www.w3.org/2000/svg"`

// dirtyDrawing has what drawing programs, and worse, put into a drawing.
const dirtyDrawing = `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<?xml-stylesheet href="https://example.org/style.css"?>
<!-- Larkrow Optics, wren@larkrow.example -->
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
	<!ENTITY ns_svg "http://www.w3.org/2000/svg">
	<!ENTITY where "workshop at night">
]>
<svg:svg viewBox="0 0 64 48" xmlns:svg="&ns_svg;" xmlns="http://www.w3.org/2000/svg" xmlns:l="http://www.w3.org/1999/xlink"
	xmlns:paint="https://larkrow.example/paint" paint:file="workshop at night" content="wren@larkrow.example" data-name="workshop at night" onload="alert(1)">
	<title>A jar &amp; its lid</title>
	<desc lang="en">Seen from <tspan>above</tspan></desc>
	<metadata><paint:author>wren@larkrow.example</paint:author></metadata>
	<paint:view zoom="2"><rect width="9" height="9"/></paint:view>
	<style type="text/css"><![CDATA[
		/* Larkrow Optics */ @import "https://example.org/a.css"; .lid > path { fill: url(https://example.org/p.svg#p) #7a2e4d }
		@import/**/url(https://example.org/b.css) screen; .jar { fill: url( "#glass" ); stroke: u\72 l(https://example.org/c) }
	]]></style>
	<script>alert("workshop at night")</script>
	<svg:script href="https://example.org/x.js"/>
	workshop at night
	<defs><linearGradient id="glass"><stop stop-color="#efe7d6"/></linearGradient></defs>
	<g class="lid" onclick="alert(1)" style="cursor: url('https://example.org/d.cur'), auto; /* workshop at night */ opacity:.5">
		<path d="M4 4h56v8h-56z" paint:label="old thumbnail"/>
	</g>
	<path class="jar" d="M8 12h48v32h-48z"
		mask="url(https://example.org/mask.svg#m)"/>
	<foreignObject width="64" height="48"><body xmlns="http://www.w3.org/1999/xhtml">workshop at night</body></foreignObject>
	<a href="javascript:alert(1)" l:href=" java&#10;script:alert(2)" l:title="old thumbnail"><circle r="2" cx="9" cy="9"/></a>
	<a href="https://larkrow.example/"><circle r="2" cx="19" cy="9"/></a>
	<use l:href="#lid"/><use href="other.svg#lid"/><image href="//example.org/a.png" width="9" height="9"/>
	<image href="data:text/html,workshop" width="1" height="1"/>
	<set attributeName="href" to="javascript:alert(3)"/><animate attributeName="fill" values="red;url(https://example.org/e)" dur="1s"/>
	<text x="2" y="40" xml:space="preserve" xml:base="https://example.org/">Larkrow  &lt;stillroom&gt;&#13;</text>
</svg:svg>
<!-- after the end -->
`

const cleanDrawing = svgHead + ` xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 64 48">
	<title>A jar &amp; its lid</title>
	<desc lang="en">Seen from <tspan>above</tspan></desc>
	
	
	<style type="text/css">
		/**/  .lid &gt; path { fill: url(#) #7a2e4d }
		 .jar { fill: url(#glass); stroke: url(#) }
	</style>
	
	<defs><linearGradient id="glass"><stop stop-color="#efe7d6"/></linearGradient></defs>
	<g class="lid" style="cursor: url(#), auto; /**/ opacity:.5">
		<path d="M4 4h56v8h-56z"/>
	</g>
	<path class="jar" d="M8 12h48v32h-48z" mask="url(#)"/>
	
	<a><circle r="2" cx="9" cy="9"/></a>
	<a><circle r="2" cx="19" cy="9"/></a>
	<use xlink:href="#lid"/><use/><image width="9" height="9"/>
	<image width="1" height="1"/>
	<animate attributeName="fill" values="red;url(#)" dur="1s"/>
	<text x="2" y="40" xml:space="preserve">Larkrow  &lt;stillroom&gt;&#13;</text>
</svg>
`

func TestSVG(t *testing.T) {
	t.Parallel()
	out := clean(t, "jar.svg", []byte(dirtyDrawing))
	assert.Equal(t, cleanDrawing, string(out))
	assertCleanDrawing(t, out)
}

// One thing at a time, inside <svg>.
func TestSVGPieces(t *testing.T) {
	t.Parallel()
	pixel := base64.StdEncoding.EncodeToString(encodedPNG(t))
	dirty := base64.StdEncoding.EncodeToString(append(encodedPNG(t), "after the end"...))
	tests := []struct{ name, in, want string }{
		{"space in a value", "<path d=\"M1\n2\t3\"/>", `<path d="M1 2 3"/>`},
		{"number of a space", `<path d="M1&#10;2"/>`, `<path d="M1 2"/>`},
		{"ends of lines", "<text>a\r\nb</text>", "<text>a\nb</text>"},
		{"quotes", `<text aria-label='a "b" &amp; &lt;'>"</text>`, `<text aria-label="a &quot;b&quot; &amp; &lt;">&quot;</text>`},
		{"comment in text", `<text>a<!-- b -->c</text>`, `<text>ac</text>`},
		{"text where none is shown", `<g> note <path/></g>`, `<g><path/></g>`},
		{"prefixed again", `<s:g xmlns:s="http://www.w3.org/2000/svg"><s:path/></s:g>`, `<g><path/></g>`},
		{"prefix of nothing", `<s:g><path/></s:g><path s:d="M1"/>`, `<path/>`},
		{"other namespace by default", `<g xmlns="urn:x"><path/></g><path/>`, `<path/>`},
		{"back in SVG", `<x xmlns="urn:x"><g xmlns="http://www.w3.org/2000/svg"/></x>`, ``},
		{"handler", `<g OnClick="a()" onbegin="b()" ONX="c()"/>`, `<g/>`},
		{"script by another name", `<SCRIPT>a()</SCRIPT><handler/><iframe src="https://example.org/"/>`, ``},
		{"cleaned picture", `<image href="data:image/png;base64,` + dirty + `"/>`, `<image href="data:image/png;base64,` + pixel + `"/>`},
		{"picture in lines", "<image href=' DATA:image/PNG ; base64,\n" + dirty[:20] + "\n " + dirty[20:] + "'/>", `<image href="data:image/png;base64,` + pixel + `"/>`},
		{"picture where none belongs", `<use href="data:image/png;base64,` + pixel + `"/>`, `<use/>`},
		{"picture of a wrong kind", `<image href="data:image/svg+xml;base64,` + pixel + `"/>`, `<image/>`},
		{
			"drawing in a drawing", `<image href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' onload='a()'/%3E"/>`,
			`<image href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(svgHead+"/>\n")) + `"/>`,
		},
		{"typeface", `<style>@font-face{src:url(data:font/woff2;base64,AAAA) format("woff2"),url(https://example.org/f)}</style>`, `<style>@font-face{src:url(data:font/woff2;base64,AAAA) format(&quot;woff2&quot;),url(#)}</style>`},
		{"picture in a style", `<style>a{b:url("data:image/png;base64,` + dirty + `")}</style>`, `<style>a{b:url(data:image/png;base64,` + pixel + `)}</style>`},
		{"style in pieces", `<style>a{b:u<!-- -->rl(https://example.org/)}</style>`, `<style>a{b:url(#)}</style>`},
		{"element in a style", `<style>a{}<g>url(https://example.org/)</g></style>`, `<style>a{}</style>`},
		{"import with a block", `<style>@import url(https://example.org/){a{b:c}} d{e:f}</style>`, `<style> d{e:f}</style>`},
		{"import, escaped", `<style>@\69 mport 'https://example.org/';a{}</style>`, `<style>a{}</style>`},
		{"import in words", `<text aria-label="@import it">@import</text>`, `<text aria-label="">@import</text>`},
		{"comment in an address", `<path fill="url(/*#a*/)"/>`, `<path fill="url(#)"/>`},
		{"comment in a value", `<path style="a/*;*/:b"/>`, `<path style="a/**/:b"/>`},
		{"signs of old comments", `<style>&lt;!--url(https://example.org/)--></style>`, `<style>&lt;!--url(#)--&gt;</style>`},
		{"escape at the end of a line", "<style>\\\nurl(https://example.org/)</style>", "<style>\\\nurl(#)</style>"},
		{"address in a string", `<style>a{content:"url(x)"}</style>`, `<style>a{content:&quot;url(x)&quot;}</style>`},
		{"string that the line ends", "<style>a{b:\"x\nurl(https://example.org/)}</style>", "<style>a{b:&quot;x\nurl(#)}</style>"},
		{"pictures as strings", `<style>a{b:image-set("https://example.org/" 1x, url(")")) c}</style>`, `<style>a{b:none c}</style>`},
		{"address never closed", `<path fill="url(https://example.org/"/>`, `<path fill="url(#)"/>`},
		{"address with more", `<path fill="url('#a' b) c"/>`, `<path fill="url(#) c"/>`},
		{"address with signs", `<path fill="url('#a b\'c')"/>`, `<path fill="url('#a b\'c')"/>`},
		{"name with escapes", `<style>.a\:b, .\31 2 { fill: red }</style>`, `<style>.a\:b, .\31 2 { fill: red }</style>`},
		{"transform", `<g transform="translate(3 -3.5) rotate(1e1)"/>`, `<g transform="translate(3 -3.5) rotate(1e1)"/>`},
		{"needs what nobody has", `<switch><g requiredExtensions="urn:x"/><g/></switch>`, `<switch><g requiredExtensions="urn:x"/><g/></switch>`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out := clean(t, "jar.svg", []byte(svgHead+">"+test.in+"</svg>"))
			want := svgHead + ">" + test.want + "</svg>\n"
			if test.want == "" {
				want = svgHead + "/>\n"
			}
			assert.Equal(t, want, string(out))
			assertCleanDrawing(t, out)
		})
	}
}

// The encodings that XML has drawings name, and byte order marks: XML 1.0, 4.3.3 (from memory).
func TestSVGEncodings(t *testing.T) {
	t.Parallel()
	body := svgHead + `><title>Crème</title></svg>`
	wide := func(text string, high int) []byte {
		var b []byte
		for _, unit := range utf16.Encode([]rune("\uFEFF" + text)) {
			pair := [2]byte{byte(unit), byte(unit >> 8)}
			b = append(b, pair[high], pair[1-high])
		}
		return b
	}
	tests := map[string][]byte{
		"UTF-8":                   []byte(body),
		"UTF-8 with a mark":       []byte("\uFEFF" + `<?xml version="1.0" encoding="utf-8"?>` + "\r\n" + body),
		"UTF-16 little-endian":    wide(`<?xml version="1.0" encoding="UTF-16"?>`+body, 0),
		"UTF-16 big-endian":       wide(`<?xml version="1.0" encoding="UTF-16BE"?>`+body, 1),
		"ISO 8859-1":              []byte(strings.ReplaceAll(`<?xml version="1.0" encoding="ISO-8859-1"?>`+body, "è", "\xE8")),
		"ASCII":                   []byte(strings.ReplaceAll(`<?xml version="1.0" encoding="US-ASCII"?>`+body, "è", "&#232;")),
		"space before everything": []byte(" \r\n" + body),
	}
	for name, data := range tests {
		assert.Equal(t, body+"\n", string(clean(t, "jar.svg", data)), name)
	}
}

func TestDamagedSVG(t *testing.T) {
	t.Parallel()
	deep := svgHead + "/>"
	for range 3 {
		deep = svgHead + `><image href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(deep)) + `"/></svg>`
	}
	tests := []struct {
		name, data, want string
		offset           int
	}{
		{"no namespace", `<svg><path/></svg>`, `lacks the namespace of SVG`, 5},
		{"other namespace", `<svg xmlns="http://www.w3.org/1999/xhtml"/>`, `lacks the namespace of SVG`, 43},
		{"breaks off", svgHead + "><g>\n", "line 2 of the SVG drawing is not as XML wants it: it ends within the element g", 44},
		{"ends crossed", svgHead + "><g></svg></g>", "the element svg ends where g should", 49},
		{"ends too often", svgHead + "/></svg>", "the element svg ends, but has not begun", 47},
		{"second drawing", svgHead + "/><svg/>", "a second outermost element, svg, begins", 47},
		{"text around", svgHead + "/>jar", "there is text outside the drawing", 44},
		{"nothing", "<!-- jar -->", "it has no element", 12},
		{"unknown entity", svgHead + "><text>\n&jar;</text></svg>", "line 2 of the SVG drawing is not as XML wants it: invalid character entity &jar;", 52},
		{"entity of an entity", `<!DOCTYPE svg [<!ENTITY a "b"><!ENTITY c "&a;&a;">]>` + svgHead + ">&c;</svg>", "invalid character entity &c;", 95},
		{"entity from elsewhere", `<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///jar">]>` + svgHead + ">&a;</svg>", "invalid character entity &a;", 92},
		{"twice", svgHead + `><path d="M1" d="M2"/></svg>`, "the element path has two attributes d", 61},
		{"no quotes", svgHead + `><path d=M1/></svg>`, "unquoted", 49},
		{"forbidden sign", svgHead + ">\x01</svg>", "illegal character code", 41},
		{"no UTF-8", svgHead + ">\xE8</svg>", "invalid UTF-8", 41},
		{"unknown encoding", `<?xml version="1.0" encoding="EBCDIC"?>` + svgHead + "/>", "save it as UTF-8", 39},
		{"damaged picture", svgHead + `><image href="data:image/png;base64,iVBORw0KGgo="/></svg>`, "of a picture inside the drawing: the PNG picture is damaged", 90},
		{"too deep", deep, "of a picture inside the drawing: more than 3 drawings stand within each other", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, err := picture.Clean("jar.svg", []byte(test.data))
			require.ErrorContains(t, err, test.want)
			if test.offset > 0 {
				assert.Equal(t, test.offset, err.(*picture.Error).Offset)
			}
		})
	}
}

// The offset counts from the beginning of the file where its text is as it stands there.
func TestSVGOffset(t *testing.T) {
	t.Parallel()
	_, err := picture.Clean("jar.svg", []byte("\uFEFF<svg/>"))
	require.IsType(t, &picture.Error{}, err)
	assert.Equal(t, 9, err.(*picture.Error).Offset)
	_, err = picture.Clean("jar.svg", []byte("\xFF\xFE<\x00s\x00v\x00g\x00/\x00>\x00"))
	require.IsType(t, &picture.Error{}, err)
	assert.Zero(t, err.(*picture.Error).Offset)
}

func isDrawing(data []byte) bool { return bytes.HasPrefix(data, []byte("<svg")) }

// elsewhere finds addresses that are not within the drawing, where no escapes hide them. What stands before or behind a name can
// make it another name.
var elsewhere = regexp.MustCompile(`(?i)(?:^|[^\\])@import(?:[^\w\\\x{80}-\x{10FFFF}-]|$)` +
	`|(?:^|[^@\w\\\x{80}-\x{10FFFF}-])(?:image-set\(|url\(\s*(?:[^#d'"\s)]|['"]\s*[^#d'"\s]))`)

// assertCleanDrawing reads a clean drawing with an XML decoder that knows namespaces, and checks what must not be in it.
func assertCleanDrawing(t testing.TB, data []byte) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(data))
	style := false
	for {
		token, err := dec.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err, "%q", data)
		switch e := token.(type) {
		case xml.StartElement:
			assert.Equal(t, "http://www.w3.org/2000/svg", e.Name.Space)
			assert.NotContains(t, []string{"script", "foreignobject", "metadata", "iframe", "handler"}, strings.ToLower(e.Name.Local))
			style = e.Name.Local == "style"
			for _, a := range e.Attr {
				assertCleanAttribute(t, e.Name.Local, a)
			}
		case xml.CharData:
			if style {
				assert.NotRegexp(t, elsewhere, withoutStrings(string(e)))
			}
		case xml.EndElement:
			style = false
		default:
			assert.Fail(t, "this stays of a drawing", "%#v", token)
		}
	}
}

func assertCleanAttribute(t testing.TB, element string, a xml.Attr) {
	t.Helper()
	assert.False(t, strings.HasPrefix(strings.ToLower(a.Name.Local), "on"), "%s: %v", element, a)
	if a.Name.Local == "href" {
		assert.Regexp(t, `^(#|data:image/)`, a.Value)
	} else if a.Name.Space == "" && a.Name.Local != "xmlns" {
		assert.NotRegexp(t, elsewhere, withoutStrings(a.Value))
	}
}

var hiding = regexp.MustCompile(`\\(?:[0-9a-fA-F]{1,6}\s?|[^\n]|$)|/\*(?s:.*?)\*/|"(?:\\[\s\S]|[^"\\\n])*"?|'(?:\\[\s\S]|[^'\\\n])*'?`)

// withoutStrings writes a space for each comment and for what is quoted, which call for nothing, save where that is an address, and a
// letter for each escape.
func withoutStrings(css string) string {
	return hiding.ReplaceAllStringFunc(css, func(s string) string {
		switch {
		case s[0] == '\\':
			return "x"
		case strings.HasPrefix(s[1:], "#"), strings.HasPrefix(s[1:], "data:"):
			return s
		}
		return " "
	})
}

// The project's own drawings have nothing to drop, and so stay as they are to the byte.
func TestOwnDrawings(t *testing.T) {
	t.Parallel()
	for file, data := range ownDrawings(t) {
		out := clean(t, file, data)
		assertCleanDrawing(t, out)
		assert.True(t, bytes.Equal(data, out), "%s changed", file)
	}
}

// ownDrawings gives the drawings of the demonstration handbook.
func ownDrawings(t testing.TB) map[string][]byte {
	files, err := filepath.Glob("../../content/pictures/*.svg")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	all := make(map[string][]byte)
	for _, file := range files {
		all[filepath.Base(file)], err = os.ReadFile(file)
		require.NoError(t, err)
	}
	return all
}

// What is read of a drawing's styles is found again when it is read once more, whatever stands in them.
func FuzzStyle(f *testing.F) {
	for _, seed := range []string{
		`a{b:url(x)}`, `@import "x";`, `u\72l(x)`, `url("#a\"b")`, `/* a`, `url( data:font/woff,x`, "\\", `image-set("a" url(b`, `<!--url(x)`, `@media print { a { b: url(#c) } }`, `url('\fffe')`,
		`url(#a\)`, `"`, `@\69mport url(;);`, `\`, `url(\`,
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, css string) {
		var text bytes.Buffer
		require.NoError(t, xml.EscapeText(&text, []byte(css)))
		for _, in := range []string{`><style>` + text.String() + `</style></svg>`, ` fill="` + text.String() + `"/>`} {
			out, err := picture.Clean("jar.svg", []byte(svgHead+in))
			if err != nil {
				continue // a damaged picture within
			}
			assertStable(t, "jar.svg", out)
			assertCleanDrawing(t, out)
		}
	})
}
