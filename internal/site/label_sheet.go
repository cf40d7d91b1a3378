package site

import (
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/quantity"
)

// LabelSubject gives a version in the form that its label is worked out from, by the law of the day of first sale; the zero time means the
// latest text known.
func LabelSubject(s *check.Subject, on time.Time) *label.Subject {
	out := labelSubject(s)
	out.On = on
	return out
}

// A LabelSheet is a page of labels to be printed.
type LabelSheet struct {
	Title string
	Laid  *label.Laid
	Count int // how many labels
	First int // the place on the first sheet where they begin, counted from 1
}

// labelFont is the font that labels are measured in.
const labelFont = "assets/fonts/source-sans-3-latin-wght-normal.woff2"

// Write writes the page in a theme's look, with the font in it. fonts has the font whose letters were measured, so no theme replaces it.
func (l *LabelSheet) Write(w io.Writer, theme *Theme, fonts fs.FS) error {
	page, err := labelsTemplate(theme.print)
	if err != nil {
		return err
	}
	css := theme.print["labels.css"]
	font, err := fs.ReadFile(fonts, labelFont)
	if err != nil {
		return err
	}
	face := fmt.Sprintf("@font-face { font-family: Label; font-weight: 200 900; src: url(data:font/woff2;base64,%s) format(\"woff2\") }\n", base64.StdEncoding.EncodeToString(font))
	return page.Execute(w, labelSheetView{
		Title: l.Title, Style: template.CSS(face + string(css) + l.geometry()), Label: newLabelPaper(l.Laid), Pages: l.pages(), //nolint:gosec // our own
		Paper: l.Laid.Sheet.Page.String(), Sheet: l.Laid.Sheet.Name,
	})
}

// A labelSheetView is what the theme's labels.html shows.
type labelSheetView struct {
	Title, Paper, Sheet string
	Style               template.CSS
	Label               labelPaper
	Pages               [][]bool // whether there is a label in each of a page's places
}

// A labelPaper is one label: paragraphs of lines, the last at the foot.
type labelPaper struct {
	Blocks []labelBlock
	Foot   *labelBlock
}

// A labelBlock is a paragraph of a label.
type labelBlock struct {
	Class string
	Jar   bool // whether the open jar stands before it
	Lines []string
}

func newLabelPaper(l *label.Laid) labelPaper {
	var p labelPaper
	for i, b := range l.Blocks {
		p.Blocks = append(p.Blocks, newLabelBlock(b, i))
	}
	if l.Foot != nil {
		foot := newLabelBlock(*l.Foot, len(l.Blocks))
		p.Foot = &foot
	}
	return p
}

func newLabelBlock(b label.Block, i int) labelBlock {
	class := fmt.Sprintf("%s b%d", b.Kind, i)
	if b.Bold {
		class += " bold"
	}
	return labelBlock{Class: class, Jar: b.Kind == label.OpenedPart, Lines: b.Lines}
}

// pages gives which places of each page have a label.
func (l *LabelSheet) pages() [][]bool {
	var all [][]bool
	for i := 0; i < l.First-1+l.Count; i++ {
		if i%l.Laid.Sheet.Places() == 0 {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], i >= l.First-1)
	}
	return all
}

// geometry gives the style rules that say where labels lie and how high their letters are, in millimetres.
func (l *LabelSheet) geometry() string {
	s := l.Laid.Sheet
	var b strings.Builder
	fmt.Fprintf(&b, "@page { size: %s %s; margin: 0 }\n", mm(s.Page.Width), mm(s.Page.Height))
	fmt.Fprintf(&b, ".page { width: %s; height: %s; padding: %s 0 0 %s; grid-template-columns: repeat(%d, %s); grid-auto-rows: %s; gap: %s %s }\n",
		mm(s.Page.Width), mm(s.Page.Height), mm(s.Top), mm(s.Left), s.Columns, mm(s.Label.Width), mm(s.Label.Height), mm(s.Gaps.Height), mm(s.Gaps.Width))
	fmt.Fprintf(&b, ".label { padding: %s }\n.foot { bottom: %s; left: %s }\n", mm(s.Edge), mm(s.Edge.Add(l.Laid.Below)), mm(s.Edge))
	block := func(i int, size, leading, before quantity.Length) {
		fmt.Fprintf(&b, ".b%d { font-size: %s; line-height: %s; margin-top: %s }\n", i, mm(size), mm(leading), mm(before))
	}
	for i, k := range l.Laid.Blocks {
		block(i, k.Size, k.Leading, k.Before)
	}
	if k := l.Laid.Foot; k != nil {
		block(len(l.Laid.Blocks), k.Size, k.Leading, k.Before)
	}
	return b.String()
}

// mm writes a length for a style sheet.
func mm(l quantity.Length) string { return l.Millimetres().Text(5) + "mm" }

// LabelOverruns is an expression for a browser that has the page open: it gives the lines that are drawn longer than their label has room
// for, and the labels whose text reaches into their foot or below.
const LabelOverruns = `[...document.querySelectorAll('.label')].flatMap(label => {
	const style = getComputedStyle(label), box = label.getBoundingClientRect()
	const right = box.right - parseFloat(style.paddingRight) + 0.1, foot = label.querySelector('.foot')
	const wide = [...label.querySelectorAll('span')].filter(s => s.getBoundingClientRect().right > right).map(s => s.textContent)
	const last = [...label.querySelectorAll('p:not(.foot)')].at(-1)
	const end = foot ? foot.getBoundingClientRect().top : box.bottom - parseFloat(style.paddingBottom)
	return last && last.getBoundingClientRect().bottom > end + 0.1 ? [...wide, last.textContent.trim()] : wide
})`
