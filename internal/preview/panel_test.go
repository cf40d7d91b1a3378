package preview

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/problem"
)

// words draws what stands at a page's foot, without tags and with single spaces.
func words(s *State, file string) string {
	text := string(slip(s, file))
	for {
		before, rest, found := strings.Cut(text, "<")
		if !found {
			return strings.Join(strings.Fields(text), " ")
		}
		_, after, _ := strings.Cut(rest, ">")
		text = before + " " + after
	}
}

const lotionFile = "recipes/wren-lotion/index.html"

func TestPanelOfRecipe(t *testing.T) {
	desk, dir := deskOn(t, smallBook())
	text := words(desk.Now(), lotionFile)
	for _, want := range []string{
		"250 g 250.0 g, 4 × 60 ml jar, 34.7 g left", "12 × 60 ml jar 642.7 g, 12 × 60 ml jar",
		"1 caution below-scale: Vitamin E oil", "2 notes", "Made from this", "Creams lists it", "Glycerin says what uses it", "recipes/wren-lotion.md",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "The last change", "nothing changed yet")
	assert.NotContains(t, text, "Members’ pages")

	writeBook(t, dir, map[string]string{"recipes/wren-lotion.md": with(t, lotion, "blend: 1 %", "blend: 2 %")})
	desk.Take(Change{Files: []string{"recipes/wren-lotion.md"}})
	text = words(desk.Now(), lotionFile)
	assert.Contains(t, text, "The last change Phenoxyethanol &amp; ethylhexylglycerin blend 1 % → 2 %: Distilled water 73.8 % → 72.8 %; new: 1 stop (above-legal-maximum: Phenoxyethanol).")
	assert.Contains(t, text, "It also changed Night version.")
	assert.Contains(t, text, "1 stop above-legal-maximum: Phenoxyethanol 1 caution")
	assert.Regexp(t, `last change (\d+ ms|less than 1 ms|\d+\.\d s)`, text)
}

func TestPanelOfIngredient(t *testing.T) {
	book := smallBook()
	for i := range 15 {
		access := "open"
		if i >= 12 {
			access = "members"
		}
		page := with(t, lotion, "title: Wren lotion", fmt.Sprintf("title: Lotion %02d", i), "keeps:", "access: "+access+"\nkeeps:")
		book[fmt.Sprintf("recipes/lotion-%02d.md", i)] = page
	}
	desk, _ := deskOn(t, book)
	text := words(desk.Now(), "ingredients/glycerin/index.html")
	assert.Contains(t, text, "Used in 16 recipes Lotion 00")
	assert.Contains(t, text, "and 4 more, all on this page")
	assert.Contains(t, text, "A change here alters 4 pages for members.", "three recipes, and the note that links here")
	assert.Contains(t, text, "Clean hands links to it")
	assert.Contains(t, text, "ingredients/glycerin.md")
	assert.NotContains(t, text, "Checks")
	assert.Contains(t, words(desk.Now(), "ingredients/cetyl-alcohol/index.html"), "From the common catalogue; no page of your own.")
}

func TestPanelOfOtherPages(t *testing.T) {
	desk, _ := deskOn(t, smallBook())
	state := desk.Now()
	assert.Contains(t, words(state, "notes/clean-hands/index.html"), "notes/clean-hands.md")
	assert.Contains(t, words(state, "index.html"), "handbook.yaml")
	assert.NotContains(t, words(state, "ingredients/index.html"), ".md </code>")
	for _, file := range []string{missingFile, "shelves/creams/index.html", "no/such.html", ""} {
		assert.Contains(t, words(state, file), "Beside the page", file)
	}
}

func TestPanelWarns(t *testing.T) {
	desk, _ := deskOn(t, smallBook())
	state := *desk.Now()
	state.Absent, state.Theme = true, errors.New("theme: pages/home.html:3: <b> unexpected\x1b")
	text := words(&state, "index.html")
	assert.Contains(t, text, "The handbook’s folder is not there at the moment.")
	assert.Contains(t, text, "theme: pages/home.html:3: &lt;b&gt; unexpected▯")
}

// A bug in working out what the panel says leaves a page with a panel that says so.
func TestPanelOutlivesBugs(t *testing.T) {
	assert.Contains(t, words(&State{}, lotionFile), "internal error: ")
}

func TestTook(t *testing.T) {
	for d, want := range map[time.Duration]string{0: "", 300 * time.Microsecond: "less than 1 ms", 12*time.Millisecond + 900*time.Microsecond: "12 ms", 1240 * time.Millisecond: "1.2 s"} {
		assert.Equal(t, want, took(d))
	}
}

func TestProblems(t *testing.T) {
	desk, _ := deskOn(t, smallBook())
	state := *desk.Now()
	src := func(name string) *problem.Source {
		return &problem.Source{Name: name, Text: "---\ntitle: <script>alert(1)</script>\n---\n"}
	}
	add := func(name, message string) {
		state.Problems = append(state.Problems, &problem.Problem{
			Span: problem.Span{Source: src(name), Start: 11, End: 19}, Message: message, Hint: "take <i> out", Notes: []problem.Note{{Span: problem.Span{Source: src("notes/other.md"), Start: 4}, Message: "the first one is here"}},
		})
	}
	state.Problems = nil
	assert.Nil(t, problemsOf(&state, lotionFile))
	assert.NotContains(t, string(slip(&state, lotionFile)), "preview--problems")

	add("notes/clean-hands.md", "no <b> here\x07")
	add("notes/clean-hands.md", "nor there")
	add("pictures/x.jpeg.md.txt", "misnamed")
	add("recipes/wren-lotion.md", "“<script>” is no title")
	html, text := string(slip(&state, lotionFile)), words(&state, lotionFile)
	assert.NotContains(t, html, "<script")
	assert.NotContains(t, html, "<i>")
	assert.Contains(t, html, `<mark><span class="l">&lt;script&gt;</span></mark>`)
	assert.Contains(t, text, "4 problems to mend")
	assert.Contains(t, text, "1 problem in this page, 3 more in other files recipes/wren-lotion.md:2:8 “&lt;script&gt;” is no title take &lt;i&gt; out 1 ---")
	assert.Contains(t, text, "notes/other.md:2:1 the first one is here")
	assert.Contains(t, text, "3 more in notes/clean-hands.md (2), pictures/x.jpeg.md.txt")
	assert.Contains(t, html, `<a href="/notes/clean-hands/">notes/clean-hands.md</a> (2), <code>pictures/x.jpeg.md.txt</code>`)
	assert.Contains(t, text, "pictures/x.jpeg.md.txt notes/clean-hands.md:2:8 no &lt;b&gt; here▯ notes/clean-hands.md:2:8 nor there pictures/x.jpeg.md.txt:2:8 misnamed")

	text = words(&state, "ingredients/glycerin/index.html")
	assert.Contains(t, text, "4 problems in other files In notes/clean-hands.md (2),")
	assert.Contains(t, words(&state, "notes/clean-hands/index.html"), "no &lt;b&gt; here▯")

	for i := range 30 {
		add("recipes/wren-lotion.md", fmt.Sprint("another ", i))
		add(fmt.Sprintf("notes/n%02d.md", i), "x")
	}
	v := problemsOf(&state, lotionFile)
	assert.Len(t, v.Here, 20)
	assert.Equal(t, 11, v.More)
	assert.Equal(t, 33, v.Elsewhere)
	assert.Len(t, v.Files, 12)
	assert.Len(t, v.Told, 3)
	assert.Equal(t, 20, v.MoreFiles)
	text = words(&state, lotionFile)
	assert.Contains(t, text, "and 11 more in this page")
	assert.Contains(t, text, "and 20 more files")

	state.Problems = nil
	add("handbook.yaml", "no shelf")
	assert.Contains(t, words(&state, "index.html"), "1 problem in handbook.yaml")
	require.Len(t, problemsOf(&state, "index.html").Here, 1)
}
