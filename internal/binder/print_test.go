package binder

import (
	"bytes"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/synthetic"
)

func dayOf(s string) *time.Time {
	day, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return &day
}

// Binders as printed by a browser, read back.
func TestPrint(t *testing.T) {
	press := browsertest.Start(t)
	for _, test := range []struct {
		options       Options
		width, height int // of a sheet, in points
	}{
		{Options{Paper: Papers()[0]}, 595, 842},
		{Options{Paper: Papers()[1]}, 612, 792},
		{Options{Paper: Papers()[2], OneSided: true}, 420, 595},
	} {
		t.Run(test.options.Paper.Name, func(t *testing.T) {
			b := bound(t, kitchen(), test.options)
			printed := 0
			p, err := b.Print(press.Print, func(units int) { printed += units })
			require.NoError(t, err)
			assert.Equal(t, printed, p.Printings*b.Units())
			assert.LessOrEqual(t, p.Printings, 3)
			ctx := read(t, p.PDF)
			dims, err := ctx.PageDims()
			require.NoError(t, err)
			require.Len(t, dims, p.Count)
			for n, d := range dims {
				assert.InDelta(t, test.width, d.Width, 1, "page %d", n+1)
				assert.InDelta(t, test.height, d.Height, 1, "page %d", n+1)
			}
			accessible(t, ctx)
			embedded(t, ctx)
			outlined(t, p)
			sides(t, b, p)
			toldPages(t, b, p)
		})
	}
}

func read(t *testing.T, pdf []byte) *model.Context {
	t.Helper()
	api.DisableConfigDir()
	ctx, err := api.ReadContext(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	require.NoError(t, err)
	require.NoError(t, ctx.EnsurePageCount())
	return ctx
}

// accessible wants tags, a language and a title (ISO 14289-1, from memory).
func accessible(t *testing.T, ctx *model.Context) {
	t.Helper()
	catalogue, err := ctx.Catalog()
	require.NoError(t, err)
	assert.Contains(t, catalogue, "StructTreeRoot")
	assert.Contains(t, catalogue, "Lang")
	marked, err := ctx.DereferenceDict(catalogue["MarkInfo"])
	require.NoError(t, err)
	assert.Equal(t, types.Boolean(true), marked["Marked"])
}

// embedded wants every font to be in the PDF and to be the theme's. Of a variable font a browser draws each sign itself (a Type 3 font, ISO 32000-1,
// 9.6.5, from memory); other fonts have their file there.
func embedded(t *testing.T, ctx *model.Context) {
	t.Helper()
	fonts := 0
	for n := range *ctx.Size {
		o, err := ctx.Dereference(*types.NewIndirectRef(n, 0))
		require.NoError(t, err)
		d, ok := o.(types.Dict)
		if !ok || d.Type() == nil || *d.Type() != "Font" || *d.Subtype() == "Type0" { // which is made of others
			continue
		}
		fonts++
		about, err := ctx.DereferenceDict(d["FontDescriptor"])
		require.NoError(t, err)
		assert.Regexp(t, `Source(Serif|Sans)`, about["FontName"], "a font that is not the theme's")
		if *d.Subtype() == "Type3" {
			signs, err := ctx.DereferenceDict(d["CharProcs"])
			require.NoError(t, err)
			assert.NotEmpty(t, signs)
			continue
		}
		_, two := about["FontFile2"]
		_, three := about["FontFile3"]
		assert.True(t, two || three, "the font %v is not in the PDF", about["FontName"])
	}
	assert.GreaterOrEqual(t, fonts, 4)
}

// outlined wants every recipe and note in the outline, on the page that the binder tells: two ways in which a browser writes where something stands.
func outlined(t *testing.T, p *Printed) {
	t.Helper()
	marks, err := api.Bookmarks(bytes.NewReader(p.PDF), model.NewDefaultConfiguration())
	require.NoError(t, err)
	at := make(map[string]int)
	var walk func([]pdfcpu.Bookmark)
	walk = func(all []pdfcpu.Bookmark) {
		for _, m := range all {
			if _, had := at[m.Title]; !had {
				at[m.Title] = m.PageFrom
			}
			walk(m.Kids)
		}
	}
	walk(marks)
	for title, id := range map[string]string{"Elbow balm": "r-elbow-balm", "Knuckle balm": "r-knuckle-balm", "Bath salts": "r-bath-salts", "Heat & hold": "n-heat", "EB-1": "b-eb-1", "Beeswax": "m-beeswax", "Index of materials": "index", "Contents": "contents"} {
		assert.Equal(t, p.Pages[id], at[title], title)
	}
}

// sides wants each recipe on the front of a sheet, where paper is printed on both sides.
func sides(t *testing.T, b *Binder, p *Printed) {
	t.Helper()
	next := 1
	for _, s := range p.Sheets {
		assert.Equal(t, next, s.From, "%s begins where what comes before ends", s.Title)
		assert.GreaterOrEqual(t, s.To, s.From)
		next = s.To + 1
		if strings.HasPrefix(s.ID, "r-") && !b.options.OneSided {
			assert.Equal(t, 1, s.From%2, "%s begins on the back of a sheet", s.Title)
		}
	}
	assert.Equal(t, p.Count+1, next)
}

// toldPages reads the numbers in contents and index as a reader does, and looks for what they lead to on these pages.
func toldPages(t *testing.T, b *Binder, p *Printed) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Log("NOT TESTED: page numbers as printed; install the package poppler-utils")
		return
	}
	file := filepath.Join(t.TempDir(), "binder.pdf")
	require.NoError(t, os.WriteFile(file, p.PDF, 0o600))
	out, err := exec.CommandContext(t.Context(), "pdftotext", "-layout", file, "-").Output()
	require.NoError(t, err)
	pages := strings.Split(string(out), "\f")
	require.Len(t, pages, p.Count+1)
	contents := pages[p.Pages["contents"]-1]
	for _, title := range []string{"Elbow balm", "Knuckle balm", "Bath salts", "Heat & hold"} {
		n := numberAfter(t, contents, title)
		found(t, `(?m)^\s*`+title+`\s*$`, pages[n-1], "page %d has the title", n)
		found(t, `(?m)^.*\b`+strconv.Itoa(n)+`\b`, pages[n-1], "page %d carries its number", n)
	}
	index := pages[p.Pages["index"]-1]
	line := regexp.MustCompile(`Beeswax, ([0-9]+), ([0-9]+(?:, [0-9]+)*)`).FindStringSubmatch(index)
	require.NotNil(t, line, index)
	own, _ := strconv.Atoi(line[1])
	assert.Contains(t, pages[own-1], "The hives at Lark Row")
	users := strings.Split(line[2], ", ")
	assert.Equal(t, slices.Compact(slices.Clone(users)), users, "a page is named once")
	for _, n := range users {
		at, _ := strconv.Atoi(n)
		found(t, `Beeswax +(caution +)?[0-9.]+ `, pages[at-1], "page %d has a formula with beeswax", at)
	}
}

// found wants a pattern in a page's text, which is not told when it is not.
func found(t *testing.T, pattern, page, message string, n int) {
	t.Helper()
	assert.True(t, regexp.MustCompile(pattern).MatchString(page), message+": there is no %s", n, pattern)
}

func numberAfter(t *testing.T, text, title string) int {
	t.Helper()
	m := regexp.MustCompile(regexp.QuoteMeta(title) + `.*?([0-9]+)\s*\n`).FindStringSubmatch(text)
	require.NotNil(t, m, "%s is not in the contents:\n%s", title, text)
	n, err := strconv.Atoi(m[1])
	require.NoError(t, err)
	return n
}

// The same binder is the same bytes; after a change, only what changed is to be replaced.
func TestPrintAgain(t *testing.T) {
	press := browsertest.Start(t)
	files := kitchen()
	one := bound(t, files, a4())
	first, err := one.Print(press.Print, func(int) {})
	require.NoError(t, err)
	again, err := bound(t, files, a4()).Print(press.Print, func(int) {})
	require.NoError(t, err)
	assert.True(t, bytes.Equal(first.PDF, again.PDF), "two printings of one binder differ")
	assert.Empty(t, one.Manifest(first).Compare(one.Manifest(again)))

	later := maps.Clone(files)
	page := string(files["recipes/bath-salts.md"].Data)
	later["recipes/bath-salts.md"] = &fstest.MapFile{Data: []byte(strings.Replace(page, "Stir.", "Stir well.", 1))}
	two := bound(t, later, a4())
	second, err := two.Print(press.Print, func(int) {})
	require.NoError(t, err)
	all := one.Manifest(first).Compare(two.Manifest(second))
	require.Len(t, all, 1)
	assert.Equal(t, "Bath salts", all[0].Title)
	assert.Equal(t, "changed", all[0].Why)
	assert.Equal(t, all[0].Out, all[0].In)
	picked, err := two.Pick(second, all)
	require.NoError(t, err)
	assert.Equal(t, 2, read(t, picked).PageCount, "both sides of one sheet")
}

// A binder printed in portions is the same pages under the same numbers as one printed at once, with all its links and headings.
func TestPrintInPortions(t *testing.T) {
	press := browsertest.Start(t)
	whole, err := bound(t, kitchen(), a4()).Print(press.Print, func(int) {})
	require.NoError(t, err)
	b := bound(t, kitchen(), a4())
	b.portionSize = 1
	require.Greater(t, len(b.portions()), 4)
	parts, err := b.Print(press.Print, func(int) {})
	require.NoError(t, err)
	assert.Equal(t, whole.Pages, parts.Pages)
	assert.Equal(t, whole.Sheets, parts.Sheets)
	assert.Equal(t, headings(t, whole.PDF), headings(t, parts.PDF))
	assert.Equal(t, linksOf(t, whole.PDF), linksOf(t, parts.PDF))
	require.NoError(t, api.Validate(bytes.NewReader(parts.PDF), nil))
	accessible(t, read(t, parts.PDF))
	toldPages(t, b, parts)
}

// headings writes the outline as lines, with the depth and the page of each heading.
func headings(t *testing.T, pdf []byte) []string {
	t.Helper()
	marks, err := api.Bookmarks(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	require.NoError(t, err)
	var all []string
	var walk func([]pdfcpu.Bookmark, string)
	walk = func(marks []pdfcpu.Bookmark, in string) {
		for _, m := range marks {
			all = append(all, in+m.Title+" "+strconv.Itoa(m.PageFrom))
			walk(m.Kids, in+"  ")
		}
	}
	walk(marks, "")
	require.NotEmpty(t, all)
	return all
}

// linksOf lists where the links of each page lead.
func linksOf(t *testing.T, pdf []byte) []string {
	t.Helper()
	ctx := read(t, pdf)
	var all []string
	for n := 1; n <= ctx.PageCount; n++ {
		page, _, _, err := ctx.PageDict(n, false)
		require.NoError(t, err)
		notes, err := ctx.DereferenceArray(page["Annots"])
		require.NoError(t, err)
		for _, note := range notes {
			d, err := ctx.DereferenceDict(note)
			require.NoError(t, err)
			if to, ok := d["Dest"].(types.Name); ok {
				all = append(all, strconv.Itoa(n)+" "+string(to))
			} else {
				all = append(all, strconv.Itoa(n)+" "+d["A"].PDFString())
			}
		}
	}
	slices.Sort(all)
	require.NotEmpty(t, all)
	return slices.Compact(all)
}

// A printer that fails, and PDFs that are none.
func TestPrintFails(t *testing.T) {
	t.Parallel()
	b := bound(t, kitchen(), a4())
	_, err := b.Print(func([]byte) ([]byte, error) { return nil, fs.ErrPermission }, func(int) {})
	assert.ErrorIs(t, err, fs.ErrPermission)
	_, err = b.Print(func([]byte) ([]byte, error) { return []byte("no PDF"), nil }, func(int) {})
	assert.ErrorContains(t, err, "read the printed pages")
}

func TestBenchSheet(t *testing.T) {
	t.Parallel()
	files := kitchen()
	build := built(t, files)
	r := build.Book.Recipes[1]
	require.Equal(t, "Elbow balm", r.Title)
	w := build.Worked(r)[1]
	one := *w.Subject
	one.Batches = one.Batches[1:2]
	w.Subject = &one
	sheet, err := BenchSheet(build, func(file string) ([]byte, error) { return fs.ReadFile(files, file) }, r, w, a4())
	require.NoError(t, err)
	text := sheet.Usual
	for _, words := range []string{"Elbow balm, <i>Softer</i>", "250 g", "37.5", "37.5 g (1.32 oz)", "Batch no.", "Lot", "Olea Europaea", `<td class="write"><span></span></td>`, "75 °C"} {
		holds(t, string(text), words)
	}
	lacks(t, string(text), "ZgotmplZ")
	assert.Equal(t, 4, strings.Count(string(text), `<td class="write"><span>`), "a box for each ingredient and for the total")
	w.Batches = build.Worked(r)[1].Batches
	_, err = BenchSheet(build, nil, r, w, a4())
	assert.ErrorContains(t, err, "one batch")
}

// BenchmarkBinder prints binders of invented handbooks. That of 500 recipes has more than 2,000 pages.
func BenchmarkBinder(b *testing.B) {
	for _, recipes := range []int{50, 500} {
		b.Run(strconv.Itoa(recipes), func(b *testing.B) {
			press := browsertest.Start(b)
			dir := b.TempDir()
			require.NoError(b, synthetic.Write(dir, synthetic.Size{Recipes: recipes, Seed: 1}))
			b.ReportAllocs()
			var p *Printed
			for b.Loop() {
				var err error
				p, err = bound(b, os.DirFS(dir), a4()).Print(press.Print, func(int) {})
				require.NoError(b, err)
			}
			b.ReportMetric(float64(p.Count), "pages")
			b.ReportMetric(float64(p.Printings), "printings")
			b.ReportMetric(float64(len(p.PDF))/1e6, "MB")
		})
	}
}
