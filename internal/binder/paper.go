package binder

import (
	"fmt"
	"strings"
)

// A Paper is a size of sheet, in millimetres; lengths are tenths of a millimetre so that they stay whole.
type Paper struct {
	Name          string
	size          string // as CSS names it
	top, bottom   int
	holes, edge   int // margins: where the holes are, and across
	height        int // of the sheet
	batches       int // columns that fit across
	body, tabWide int // type size in tenths of a point; the tab's width
}

// Papers lists the sizes of sheet.
func Papers() []Paper {
	return []Paper{
		{Name: "A4", size: "A4", top: 200, bottom: 170, holes: 240, edge: 150, height: 2970, batches: 4, body: 95, tabWide: 60},
		{Name: "Letter", size: "letter", top: 190, bottom: 170, holes: 240, edge: 150, height: 2794, batches: 4, body: 95, tabWide: 60},
		{Name: "A5", size: "A5", top: 150, bottom: 130, holes: 180, edge: 110, height: 2100, batches: 3, body: 80, tabWide: 50},
	}
}

// ParsePaper reads a paper's name.
func ParsePaper(name string) (Paper, error) {
	var names []string
	for _, p := range Papers() {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return Paper{}, fmt.Errorf("there is no paper “%s”: it can be %s", name, strings.Join(names, ", "))
}

// mm writes a length.
func mm(tenths int) string { return fmt.Sprintf("%d.%dmm", tenths/10, tenths%10) }

// inside is the height between the margins.
func (p Paper) inside() int { return p.height - p.top - p.bottom }

// rules gives page rules for units, from the one to before the other: size, margins that leave room for the holes, heads, numbers, tabs.
func (b *Binder) rules(from, to int) string {
	var css strings.Builder
	p, one := b.options.Paper, b.options.OneSided
	fmt.Fprintf(&css, "@page{size:%s;margin:%s %s %s %s}\n", p.size, mm(p.top), mm(p.edge), mm(p.bottom), mm(p.holes))
	fmt.Fprintf(&css, "html{font-size:%d.%dpt}.remarks{height:%s}.title{height:%s}\n", p.body/10, p.body%10, mm(p.inside()-10), mm(p.inside()-10))
	b.side(&css, "", ":right", "right")
	if !one {
		fmt.Fprintf(&css, "@page:left{margin:%s %s %s %s}\n", mm(p.top), mm(p.holes), mm(p.bottom), mm(p.edge))
		b.side(&css, "", ":left", "left")
	} else {
		b.side(&css, "", ":left", "right")
	}
	css.WriteString("@page unit-0{" + none("top-left", "top-right", "bottom-left", "bottom-right") + "}\n@page unit-0:right{" + none("top-left", "top-right", "bottom-left", "bottom-right") + "}\n@page unit-0:left{" + none("top-left", "top-right", "bottom-left", "bottom-right") + "}\n")
	tabs := b.tabs()
	for i := max(1, from); i < to; i++ {
		u := b.units[i]
		for _, side := range []string{":right", ":left"} {
			outer := "right"
			if side == ":left" && !one {
				outer = "left"
			}
			fmt.Fprintf(&css, "@page unit-%d%s{@top-%s{content:%s}", i, side, outer, quoted(u.Title))
			if u.Tab >= 0 {
				b.tab(&css, outer, tabs[u.Tab], u.Tab, len(tabs))
			}
			css.WriteString("}\n")
		}
	}
	return css.String()
}

func none(boxes ...string) string {
	var css strings.Builder
	for _, box := range boxes {
		css.WriteString("@" + box + "{content:none}")
	}
	return css.String()
}

// side sets the running head and foot of right or left pages: what is looked for stands on the outer edge.
func (b *Binder) side(css *strings.Builder, name, side, outer string) {
	inner := "left"
	if outer == "left" {
		inner = "right"
	}
	foot := "The maker’s own copy"
	if day := b.asOf(); day != nil {
		foot += ", as of " + day.Format("2 January 2006")
	}
	fmt.Fprintf(css, "@page%s%s{@top-%s{content:%s;%s}@top-%s{%s}@bottom-%s{content:%s;%s}@bottom-%s{content:counter(page);%s}}\n",
		name, side, inner, quoted(b.build.Title), quiet+rise, outer, running+rise, inner, quoted(foot), quiet, outer, number)
}

// How heads and feet are set.
const (
	quiet   = "font:italic 8pt 'Linen Serif',serif;color:#555;white-space:nowrap;"
	running = "font:600 9pt 'Linen Sans',sans-serif;color:#222;white-space:nowrap;"
	number  = "font:600 10pt 'Linen Sans',sans-serif;color:#222;"
	rise    = "vertical-align:bottom;padding-bottom:4mm;"
)

// tab puts a tab on the outer edge, the later in the binder the lower.
func (b *Binder) tab(css *strings.Builder, outer, words string, at, of int) {
	p := b.options.Paper
	step := min(p.inside()/of, 420)
	inner := "left"
	if outer == "left" {
		inner = "right"
	}
	fmt.Fprintf(css, "@%s-top{content:%s;writing-mode:vertical-rl;background:#7a2e4d;color:#fff;font:600 %s 'Linen Sans',sans-serif;width:%s;height:%s;margin-top:%s;margin-%s:%s;text-align:center;white-space:nowrap;overflow:hidden}",
		outer, quoted(words), tabType(words, step), mm(p.tabWide), mm(step-15), mm(at*step), inner, mm(p.edge-p.tabWide))
}

// tabType gives a type size at which the words fit their tab: a letter of this face is about half as wide as it is high.
func tabType(words string, step int) string {
	points := (step - 35) * 72 / 254 * 10 * 2 / max(1, len([]rune(words))) // tenths of a point
	points = max(50, min(85, points))
	return fmt.Sprintf("%d.%dpt", points/10, points%10)
}

// quoted writes words as a CSS string.
func quoted(words string) string {
	return `"` + strings.NewReplacer(`\`, `\5c `, `"`, `\22 `, "\n", " ", "\r", " ", "<", `\3c `, ">", `\3e `, "&", `\26 `).Replace(words) + `"`
}

// benchRules gives a bench sheet's page rules: narrow margins, and a foot that tells one sheet's pages from another's.
func (b *Binder) benchRules(title string) string {
	p := b.options.Paper
	var css strings.Builder
	side := p.edge * 3 / 4
	if !b.options.OneSided {
		fmt.Fprintf(&css, "@page:left{margin:%s %s %s %s}\n", mm(side), mm(p.holes*4/5), mm(p.bottom*3/4), mm(side))
	}
	fmt.Fprintf(&css, "@page{size:%s;margin:%s %s %s %s;@bottom-left{content:%s;%s}@bottom-right{content:counter(page) \" of \" counter(pages);%s}}\n",
		p.size, mm(side), mm(side), mm(p.bottom*3/4), mm(p.holes*4/5), quoted(b.build.Title+" · "+title), quiet, quiet)
	fmt.Fprintf(&css, "html{font-size:%d.%dpt}\n", p.body/10, p.body%10)
	return css.String()
}
