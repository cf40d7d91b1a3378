package site

import (
	"fmt"
	"html/template"
	"regexp"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// howTo tells how the base is made in the first batch, all of it as the page shows it. schema.org's Recipe is for food, and so HowTo it is.
func (s *Build) howTo(v *RecipeView, r *handbook.Recipe, worked []handbook.Worked) Thing {
	t := newThing("HowTo").with("@id", v.Canonical+"#part--method").with("name", r.Title).with("description", r.Summary).with("inLanguage", v.Lang)
	t.with("mainEntityOfPage", Thing{"@id": v.Canonical})
	if r.Picture != nil {
		t["image"] = absolute(s.Address, s.pictures[r.Picture.File])
	}
	if r.Time != nil {
		t["performTime"], t["totalTime"] = isoDuration(r.Time.Minutes()), isoDuration(r.Time.Minutes())
		if r.Rest != nil {
			t["totalTime"] = isoDuration(r.Time.Minutes().Add(r.Rest.Minutes()))
		}
	}
	if len(worked) > 0 {
		t.with("supply", supplies(NewFormulaView(r, worked[0], func(string) string { return "" })))
	}
	if len(v.Batches) > 0 {
		t["yield"] = v.Batches[0].Size
	}
	var tools []Thing
	for _, name := range r.Tools {
		tools = append(tools, newThing("HowToTool").with("name", name))
	}
	return t.with("tool", tools).with("step", append(howToSteps(v.Method), tip(v.Caution)))
}

// supplies tells what is weighed for the first batch.
func supplies(f *FormulaView) []Thing {
	var all []Thing
	for _, phase := range f.Phases {
		for _, row := range phase.Rows {
			t := newThing("HowToSupply").with("name", row.Name)
			if len(row.Weights) > 0 && row.Weights[0].G != "" {
				t["requiredQuantity"] = row.Weights[0].G + " g"
			}
			all = append(all, t)
		}
	}
	return all
}

// isoDuration writes minutes as a duration of ISO 8601, as schema.org asks (from memory).
func isoDuration(minutes quantity.Number) string {
	if n, ok := minutes.Floor(); ok && minutes.Sub(quantity.Int(n)).Sign() == 0 {
		return fmt.Sprintf("PT%dM", n)
	}
	return "PT" + minutes.Mul(quantity.Int(60)).Text(0) + "S"
}

func tip(text string) Thing { return newThing("HowToTip").with("text", text) }

// howToSteps finds the steps in a method: the points of its numbered lists, or its paragraphs where it has none, in sections where it has
// headings. Its boxes, which are cautions for the most part, go with them.
func howToSteps(method template.HTML) []Thing {
	body := &html.Node{Type: html.ElementNode, Data: "body", DataAtom: atom.Body}
	nodes, err := html.ParseFragment(strings.NewReader(string(method)), body)
	if err != nil {
		return nil
	}
	numbered := false
	for _, n := range nodes {
		numbered = numbered || n.DataAtom == atom.Ol
	}
	var w stepWriter
	for _, n := range nodes {
		switch n.DataAtom {
		case atom.H2, atom.H3, atom.H4:
			w.section(told(n))
		case atom.Ol:
			for li := range n.ChildNodes() {
				w.add("HowToStep", told(li))
			}
		case atom.P:
			if !numbered {
				w.add("HowToStep", told(n))
			}
		case atom.Aside, atom.Div:
			if strings.HasPrefix(attribute(n, "class"), "block") {
				w.add("HowToTip", told(n))
			}
		}
	}
	return w.end()
}

// A stepWriter gathers steps, in sections from the first heading on.
type stepWriter struct {
	all, open []Thing
	name      string
}

func (w *stepWriter) add(kind, text string) {
	if text != "" {
		w.open = append(w.open, newThing(kind).with("text", text))
	}
}

// section begins a section.
func (w *stepWriter) section(name string) {
	w.all, w.open, w.name = w.end(), nil, name
}

// end gives all steps.
func (w *stepWriter) end() []Thing {
	if w.name == "" || len(w.open) == 0 {
		return append(w.all, w.open...)
	}
	return append(w.all, newThing("HowToSection").with("name", w.name).with("itemListElement", w.open))
}

// otherwise is the class of what is for another version or batch than the first.
var otherwise = regexp.MustCompile(`^[vb]([2-9]|[1-9]\d+)$`)

// closeUp takes out the spaces that stood before something small.
var closeUp = strings.NewReplacer(" ,", ",", " .", ".", " )", ")")

// told gives the words of a part of a method as read for the first version and batch, without what stands small beside a figure (ounces, °F).
func told(n *html.Node) string {
	var b strings.Builder
	var read func(n *html.Node)
	read = func(n *html.Node) {
		class := attribute(n, "class")
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
		if otherwise.MatchString(class) || n.DataAtom == atom.Small {
			return
		}
		for c := range n.ChildNodes() {
			read(c)
		}
		switch n.DataAtom {
		case atom.P, atom.Li, atom.Br, atom.Div:
			b.WriteString(map[bool]string{true: ": ", false: " "}[class == "block-name"])
		}
	}
	read(n)
	return closeUp.Replace(strings.Join(strings.Fields(b.String()), " "))
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}
