package site

import (
	"html/template"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/words"
)

// What is folded is what html/template makes of it, wherever it stands; what is not plain stays an action.
func TestFoldWritesWhatTemplatesWrite(t *testing.T) {
	set, err := words.Load(fstest.MapFS{"words/en.yaml": {Data: []byte(`
odd: "1 + 1 < 3 & \"so\" 'on' \0 </title>"
plain: Weigh
placed: "{count} jars"
counted: {one: a jar, other: jars}
`)}}, nil)
	require.NoError(t, err)
	l, _ := set.In(words.English)
	const page = `<title>{{say "odd"}}</title><p title="{{say "odd"}}" class={{say "odd"}} style="color: {{say "odd"}}" onclick="x({{say "odd"}})">{{say "odd"}} {{- say "plain" -}} {{say "counted"}}</p>
{{range .}}<a href="{{say "odd"}}">{{.}}{{say "odd"}}</a>{{else}}{{say "plain"}}{{end}}{{with .}}{{say "odd"}}{{end}}{{if not .}}{{say "plain"}}{{else}}{{say "odd"}}{{end}}
<script>const x = {{say "odd"}};</script>{{say "placed" "count" 3}}{{$x := say "odd"}}{{$x}}{{template "pieces/a.html"}}<i title="{{template "pieces/a.html"}}"></i><script>y = {{template "pieces/a.html"}}</script>`
	parsed := template.Must(template.New("theme").Funcs(speaking(l, nil)).Parse(""))
	template.Must(parsed.New(pagePath("note")).Parse(page))
	template.Must(parsed.New("pieces/a.html").Parse(`{{say "odd"}}`))
	folded, usual := template.Must(parsed.Clone()), template.Must(parsed.Clone())
	fold(folded, l)
	for _, data := range [][]string{nil, {"a", "<b>"}} {
		var want, got strings.Builder
		require.NoError(t, usual.ExecuteTemplate(&want, pagePath("note"), data))
		require.NoError(t, folded.ExecuteTemplate(&got, pagePath("note"), data))
		assert.Equal(t, want.String(), got.String())
	}
	tree := folded.Lookup(pagePath("note")).Tree.Root.String()
	assert.Contains(t, tree, `">1 &#43; 1 &lt; 3 &amp; &#34;so&#34; &#39;on&#39; `+"\ufffd &lt;/title&gt;Weighjars</p>\n{{range", "texts in a row are one")
	assert.Equal(t, 7, strings.Count(tree, `{{say "odd"`)+strings.Count(tree, `:= say "odd"`), "where something else escapes them, they stay")
	assert.Contains(t, tree, `{{say "placed" "count" 3`)
}

// A text that is missing, or lacks its places, is told as it would be without folding.
func TestFoldLeavesFaults(t *testing.T) {
	_, err := LoadTheme(bare(), folder("pages/note.html", "\n{{say \"none.such\"}}"))
	require.ErrorContains(t, err, "theme: pages/note.html:2:2: executing")
	assert.ErrorContains(t, err, `there is no text "none.such"`)
}
