package site

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
)

const proofFacts = `---
title: Proof
product: hand cream
shelf: Creams
formula:
  - phase: Water
    weigh: {Distilled water: q.s., Honey: 2 %}
  - phase: Oil
    weigh: {Sunflower oil: 20 %, Crème wax: 3 %}
  - phase: Last
    weigh: {Honey: 1 %}
variants:
  - {name: Night, change: {Sunflower oil: becomes Shea butter}}
splits:
  - {name: Plain, share: 1/2}
  - {name: Rich, share: 1/2, add: {Lemon: 2 %, Crème wax: 1 %}}
---
`

// proofFiles is a handbook with one body to be proofed, of a recipe in a sub-folder.
func proofFiles(body string) fstest.MapFS {
	return fstest.MapFS{
		"handbook.yaml":          {Data: []byte("title: T\nshelves: [Creams]\n")},
		"ingredients/beeswax.md": {Data: []byte("---\nname: Beeswax\n---\n## Melting\n")},
		"notes/water-bath.md":    {Data: []byte("---\ntitle: The water bath\n---\n")},
		"pictures/hedge row.svg": {Data: []byte(`<svg viewBox="0 0 3 4"/>`)},
		"recipes/a/beside.svg":   {Data: []byte(`<svg viewBox="0 0 3 4"/>`)},
		"recipes/other.md":       {Data: []byte(strings.Replace(proofFacts, "Proof", "Other", 1))},
		"recipes/a/proof.md":     {Data: []byte(proofFacts + body)},
	}
}

func TestProof(t *testing.T) {
	t.Parallel()
	const start = 18 // the line on which the body begins
	cases := map[string]struct {
		body string
		want []string // line of the body, column, message; then what the hint says
	}{
		"links":                {"[a](../other.md) [b](../../ingredients/beeswax.md) [c](../../notes/water-bath.md) [d](proof.md)", nil},
		"links with fragments": {"[a](../../ingredients/beeswax.md#melting) [b](#here) [c](../../pictures/hedge%20row.svg)", nil},
		"links elsewhere":      {"[a](https://larkrow.example/x.md) [b](mailto:a@larkrow.example) https://larkrow.example", nil},
		"pictures":             {"![A hedge](../../pictures/hedge%20row.svg) ![A hedge](hedge%20row.svg) ![A hedge](<hedge row.svg>) ![A](beside.svg)", nil},
		"amounts": {
			":amount[distilled WATER] :amount[Oil] :amount[Oil phase] :amount[Honey in Last] :amount[Shea butter] :amount[Lemon] :amount[Crème wax] :amount[Sunflower oil]", nil,
		},
		"link to nowhere":        {"One.\n\nÜ [a](../../ingredients/beewax.md)", []string{"3:7 the link to “../../ingredients/beewax.md” leads nowhere; did you mean “"}},
		"link far from any":      {"[a](x)", []string{"1:5 the link to “x” leads nowhere; make that page, or take the link out"}},
		"link with %20":          {"[a](bees%20wax.md#x)", []string{"1:5 the link to “bees%20wax.md#x” leads nowhere; did you mean"}},
		"link by its address":    {"[a](/ingredients/beeswax/)", []string{"1:5 the link to “/ingredients/beeswax/” leads nowhere; link"}},
		"link out of the folder": {"[a](../../../handbook.yaml)", []string{"1:5 the link to “../../../handbook.yaml” leads nowhere; link"}},
		"link with other case":   {"[a](../Other.md)", []string{"1:5 the link to “../Other.md” leads nowhere; did you mean “../../recipes/other.md”"}},
		"link by reference":      {"[a]\n\n[a]: ../othr.md", []string{"1:1 the link to “../othr.md” leads nowhere; did you mean"}},
		"two links":              {"[a](x) [b](y)", []string{"1:5 the link to “x” leads nowhere; link", "1:12 the link to “y” leads nowhere; link"}},
		"picture missing":        {"é ![A hedge](hedge.svg)", []string{"1:14 there is no picture “hedge.svg”; put the picture beside"}},
		"picture is a page":      {"![A hedge](../other.md)", []string{"1:12 there is no picture “../other.md”; put"}},
		"unknown amount":         {"ü :amount[Beeswax]", []string{"1:11 “Beeswax” is not in the formula; name an ingredient or a phase"}},
		"amount near one":        {":amount[ Sunflowr oil ]", []string{"1:10 “Sunflowr oil” is not in the formula; did you mean “Sunflower oil”?"}},
		"amount near a phase":    {":amount[Lats]", []string{"1:9 “Lats” is not in the formula; did you mean “Last”?"}},
		"amount of two":          {":amount[Honey]", []string{"1:9 “Honey” stands in more than one phase; say which, as in :amount[Honey in Water]"}},
		"amount of no phase":     {":amount[Honey in Oil]", []string{"1:9 “Honey in Oil” is not in the formula; name"}},
		"all at once": {":amount[X]\n\n[a](x)\n\n![](y.svg)\n\n:temp[hot]", []string{
			"1:9 “X” is not in the formula; name", "3:5 the link to “x” leads nowhere; link", "5:5 the picture has no words; say", "5:5 there is no picture “y.svg”; put", "7:7 a number should stand here; ",
		}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			all := prepared(t, proofFiles(c.body))
			require.Len(t, all, len(c.want), "%v", all)
			for i, w := range c.want {
				var line, column int
				_, err := fmt.Sscanf(w, "%d:%d", &line, &column)
				require.NoError(t, err)
				_, said, _ := strings.Cut(w, " ")
				message, hint, _ := strings.Cut(said, "; ")
				gotLine, gotColumn := all[i].Span.Position()
				assert.Equal(t, [2]int{line + start - 1, column}, [2]int{gotLine, gotColumn}, "%v", all[i])
				assert.Equal(t, "recipes/a/proof.md", all[i].Span.File())
				assert.Contains(t, all[i].Message, message)
				assert.Contains(t, all[i].Hint, hint)
			}
		})
	}
}

// prepared gives the problems of a handbook and its bodies; all are placed and say what to do.
func prepared(t *testing.T, files fstest.MapFS) []*problem.Problem {
	t.Helper()
	h, problems := handbook.Load(files)
	Prepare(h, problems)
	for _, p := range problems.All() {
		assert.NotEmpty(t, p.Hint, "%v", p)
		assert.True(t, 0 <= p.Span.Start && p.Span.Start <= p.Span.End && p.Span.End <= len(p.Span.Source.Text), "%v", p)
	}
	return problems.All()
}

// Only a recipe has amounts; a note and an ingredient may not show one, whatever its name.
func TestProofAmountsElsewhere(t *testing.T) {
	t.Parallel()
	for _, file := range []string{"notes/water-bath.md", "ingredients/beeswax.md"} {
		files := proofFiles("")
		page := strings.Replace(string(files[file].Data), "---\n", "---\nsummary: x\n", 1) + "Take :amount[Honey].\n"
		files[file] = &fstest.MapFile{Data: []byte(page)}
		all := prepared(t, files)
		require.Len(t, all, 1, file)
		assert.Equal(t, file, all[0].Span.File())
		assert.Equal(t, "Honey", all[0].Span.Text())
		assert.Contains(t, all[0].Message, "only a recipe can show the amount of “Honey”")
	}
}

// A page that cannot be read, or whose formula has a problem, is not told again by bodies that lean on it.
func TestProofTellsNoConsequences(t *testing.T) {
	t.Parallel()
	files := proofFiles("[a](../other.md) [b](../../notes/water-bath.md)")
	files["recipes/other.md"] = &fstest.MapFile{Data: []byte(strings.Replace(proofFacts, "2 %", "some", 1) + ":amount[Honey in Water] :amount[Shea butter] :amount[Nothing]")}
	files["notes/water-bath.md"] = &fstest.MapFile{Data: []byte("\xff")}
	files["ingredients/beeswax.md"] = &fstest.MapFile{Data: []byte("---\nname: [\n---\n[a](x)\n")}
	var places []string
	for _, p := range prepared(t, files) {
		line, column := p.Span.Position()
		places = append(places, fmt.Sprintf("%s:%d:%d", p.Span.File(), line, column))
	}
	assert.Equal(t, []string{"ingredients/beeswax.md:3:1", "ingredients/beeswax.md:4:5", "notes/water-bath.md:1:1", "recipes/other.md:7:43"}, places)
}

// Pages saved with other line ends have the problems of their bodies in the same places.
func TestProofLineEnds(t *testing.T) {
	t.Parallel()
	body := "Crème.\n\n1. [a](x)\n2. :amount[Beeswax]\n"
	files := proofFiles(body)
	want := prepared(t, files)
	require.Len(t, want, 2)
	page := string(files["recipes/a/proof.md"].Data)
	for _, other := range []string{strings.ReplaceAll(page, "\n", "\r\n"), "\uFEFF" + page, strings.ReplaceAll(page, "\n", "\r")} {
		files["recipes/a/proof.md"] = &fstest.MapFile{Data: []byte(other)}
		got := prepared(t, files)
		require.Len(t, got, 2)
		for i := range want {
			assert.Equal(t, want[i].Error(), got[i].Error())
			assert.Equal(t, want[i].Span.Text(), got[i].Span.Text())
		}
	}
}
