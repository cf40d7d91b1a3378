package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"
)

// SVG 2: W3C Candidate Recommendation, 2018; XML 1.0, fifth edition; Namespaces in XML 1.0, third edition (all from memory).
const (
	svgType   = "image/svg+xml"
	svgSpace  = "http://www.w3.org/2000/svg"
	linkSpace = "http://www.w3.org/1999/xlink"
	xmlSpace  = "http://www.w3.org/XML/1998/namespace"
)

// isSVG takes all that looks like markup for a drawing; what it is not is told while it is read.
func isSVG(data []byte) bool {
	data, _ = asUTF8(data[:min(len(data), 1024)&^1])
	return bytes.HasPrefix(bytes.TrimLeft(data, " \t\r\n"), []byte("<"))
}

// A drawing is an SVG file being written anew.
type drawing struct {
	in        *xml.Decoder
	out       []byte
	open      []element
	spaces    map[string][]string // the namespaces of each prefix, innermost last
	css       []byte              // of the style sheet being read
	depth     int                 // how many drawings it stands within
	begins    int                 // where the text begins in the file, behind a byte order mark
	tag       bool                // whether the last tag written still lacks its end
	links     bool                // whether an attribute of the namespace xlink was written
	converted bool                // whether the text is not what the file has, so that places in it mean nothing there
	root      int                 // where in out the outermost element's namespaces belong; 0 before it
}

// An element is one that has begun and not ended.
type element struct {
	raw      xml.Name // as written, with its prefix
	kept     bool
	words    bool     // whether text in it is shown or told
	prefixes []string // for which it declares namespaces
}

// cleanSVG writes a drawing anew, with only what SVG 2 names for showing it: no comments, processing instructions, document
// type, metadata, scripts, foreign elements, other namespaces, handlers of events, or addresses outside the file. Depth counts the
// drawings that it stands within.
func cleanSVG(data []byte, depth int) ([]byte, error) {
	text, converted := asUTF8(data)
	d := &drawing{
		in:        xml.NewDecoder(bytes.NewReader(text)),
		out:       make([]byte, 0, len(text)+len(svgSpace)+16),
		spaces:    make(map[string][]string),
		depth:     depth,
		begins:    len(data) - len(text),
		converted: converted,
	}
	d.in.CharsetReader = d.charset
	for {
		token, err := d.in.RawToken()
		if err == io.EOF { //nolint:errorlint // RawToken gives io.EOF as it is
			return d.finish()
		}
		if err == nil {
			err = d.token(token)
		}
		if err != nil {
			return nil, d.fault(err)
		}
	}
}

// fault gives an error its place in the file.
func (d *drawing) fault(err error) error {
	known, ok := err.(*Error) //nolint:errorlint // ours are never wrapped
	if !ok {
		line, _ := d.in.InputPos()
		what := strings.TrimPrefix(err.Error(), "xml: ")
		if syntax, ok := err.(*xml.SyntaxError); ok { //nolint:errorlint // as RawToken gives it
			what = syntax.Msg
		}
		known = &Error{What: fmt.Sprintf("line %d of the SVG drawing is not as XML wants it: %s", line, what), Hint: "mend it there, or save it anew as a plain SVG drawing"}
	}
	if !d.converted {
		known.Offset = d.begins + int(d.in.InputOffset())
	}
	return known
}

// finish adds the namespaces that the drawing turned out to need.
func (d *drawing) finish() ([]byte, error) {
	switch {
	case len(d.open) > 0:
		return nil, d.fault(fmt.Errorf("it ends within the element %s", d.open[len(d.open)-1].raw.Local))
	case d.root == 0:
		return nil, d.fault(fmt.Errorf("it has no element"))
	}
	spaces := ` xmlns="` + svgSpace + `"`
	if d.links {
		spaces += ` xmlns:xlink="` + linkSpace + `"`
	}
	return append(slices.Insert(d.out, d.root, []byte(spaces)...), '\n'), nil
}

func (d *drawing) token(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		return d.start(t)
	case xml.EndElement:
		return d.end(t.Name)
	case xml.CharData:
		return d.text(t)
	case xml.Directive:
		d.in.Entity = entities(t)
	}
	return nil
}

// top gives the innermost open element.
func (d *drawing) top() *element {
	if len(d.open) == 0 {
		return &element{}
	}
	return &d.open[len(d.open)-1]
}

// space gives the namespace that a prefix stands for, "" for none.
func (d *drawing) space(prefix string) string {
	if prefix == "xml" {
		return xmlSpace
	}
	if all := d.spaces[prefix]; len(all) > 0 {
		return all[len(all)-1]
	}
	return ""
}

func (d *drawing) start(t xml.StartElement) error {
	e := element{raw: t.Name}
	for _, a := range t.Attr {
		if prefix, ok := declared(a.Name); ok {
			d.spaces[prefix] = append(d.spaces[prefix], a.Value)
			e.prefixes = append(e.prefixes, prefix)
		}
	}
	space, up := d.space(t.Name.Space), d.top()
	switch {
	case len(d.open) > 0:
		e.kept = up.kept && up.raw.Local != "style" && space == svgSpace && svgElements().has(t.Name.Local) && !animatesAddress(t)
	case d.root > 0:
		return fmt.Errorf("a second outermost element, %s, begins", t.Name.Local)
	case t.Name.Local != "svg":
		return &Error{What: "the outermost element is " + t.Name.Local + ", so this is no SVG drawing", Hint: "save it as a plain SVG drawing"}
	case space != svgSpace:
		return &Error{What: "the outermost element lacks the namespace of SVG, so browsers do not show the drawing", Hint: `begin it with <svg xmlns="` + svgSpace + `"`}
	default:
		e.kept = true
	}
	e.words = up.words || slices.Contains([]string{"text", "title", "desc", "style"}, t.Name.Local)
	d.open = append(d.open, e)
	if !e.kept {
		return nil
	}
	d.closeTag()
	d.out = append(append(d.out, '<'), t.Name.Local...)
	d.tag = true
	if d.root == 0 {
		d.root = len(d.out)
	}
	return d.attributes(t)
}

// declared gives the prefix for which an attribute declares a namespace, "" for elements without a prefix.
func declared(name xml.Name) (prefix string, ok bool) {
	if name.Space == "" && name.Local == "xmlns" {
		return "", true
	}
	return name.Local, name.Space == "xmlns"
}

// animatesAddress says whether an element changes an address or a handler of events over time.
func animatesAddress(t xml.StartElement) bool {
	for _, a := range t.Attr {
		if a.Name.Local == "attributeName" {
			name := strings.TrimSpace(a.Value[strings.IndexByte(a.Value, ':')+1:])
			return strings.EqualFold(name, "href") || !svgAttributes().has(name)
		}
	}
	return false
}

// closeTag ends the tag written last, so that something can stand in its element.
func (d *drawing) closeTag() {
	if d.tag {
		d.out = append(d.out, '>')
		d.tag = false
	}
}

func (d *drawing) end(name xml.Name) error {
	e := *d.top()
	if len(d.open) == 0 {
		return fmt.Errorf("the element %s ends, but has not begun", name.Local)
	}
	if e.raw != name {
		return fmt.Errorf("the element %s ends where %s should", name.Local, e.raw.Local)
	}
	if e.kept && name.Local == "style" {
		if err := d.sheet(); err != nil {
			return err
		}
	}
	d.open = d.open[:len(d.open)-1]
	for _, prefix := range e.prefixes {
		d.spaces[prefix] = d.spaces[prefix][:len(d.spaces[prefix])-1]
	}
	switch {
	case !e.kept:
	case d.tag:
		d.out = append(d.out, "/>"...)
		d.tag = false
	default:
		d.out = append(append(append(d.out, "</"...), name.Local...), '>')
	}
	return nil
}

// sheet writes the style sheet just read.
func (d *drawing) sheet() error {
	css, err := cleanCSS(string(d.css), d.depth)
	d.css = d.css[:0]
	if err == nil && css != "" {
		d.closeTag()
		d.out = appendText(d.out, css)
	}
	return err
}

// text keeps space, which may matter, and the words of text, titles and descriptions; elsewhere words are never shown.
func (d *drawing) text(t xml.CharData) error {
	blank := len(bytes.Trim(t, " \t\r\n")) == 0
	e := d.top()
	switch {
	case len(d.open) == 0 && !blank:
		return fmt.Errorf("there is text outside the drawing")
	case !e.kept || !blank && !e.words:
	case e.raw.Local == "style":
		d.css = append(d.css, t...)
	default:
		d.closeTag()
		d.out = appendText(d.out, string(t))
	}
	return nil
}

// onOneLine reads ends of lines in attributes as XML 1.0, 3.3.3 has it (from memory).
var onOneLine = strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\t", " ")

// attributes writes the attributes that SVG 2 names.
func (d *drawing) attributes(t xml.StartElement) error {
	seen := make(map[string]bool, len(t.Attr))
	for _, a := range t.Attr {
		name := d.attributeName(a.Name)
		if name == "" {
			continue
		}
		if seen[name] {
			return fmt.Errorf("the element %s has two attributes %s", t.Name.Local, name)
		}
		seen[name] = true
		value := onOneLine.Replace(a.Value)
		value, keep, err := d.value(t.Name.Local, name, value)
		if err != nil {
			return err
		}
		if keep {
			d.links = d.links || name == "xlink:href"
			d.out = append(append(append(d.out, ' '), name...), `="`...)
			d.out = append(appendText(d.out, value), '"')
		}
	}
	return nil
}

// attributeName gives the name under which an attribute is written, "" where it is not.
func (d *drawing) attributeName(name xml.Name) string {
	space := d.space(name.Space)
	switch {
	case name.Space == "":
		if svgAttributes().has(name.Local) || strings.HasPrefix(name.Local, "aria-") && isName(name.Local) {
			return name.Local
		}
	case space == linkSpace && name.Local == "href":
		return "xlink:href"
	case space == xmlSpace && (name.Local == "lang" || name.Local == "space"):
		return "xml:" + name.Local
	}
	return ""
}

// isName says whether all of a name is small letters and hyphens.
func isName(name string) bool {
	return strings.Trim(name, "abcdefghijklmnopqrstuvwxyz-") == ""
}

// value gives an attribute's value as it is written, and whether it is.
func (d *drawing) value(element, name, value string) (string, bool, error) {
	if name == "href" || name == "xlink:href" {
		return cleanHref(element, value, d.depth)
	}
	if !strings.ContainsAny(value, `(\@`) && !strings.Contains(value, "/*") {
		return value, true, nil
	}
	value, err := cleanCSS(value, d.depth)
	return value, true, err
}

// appendText writes text or an attribute's value. A carriage return that was written as a number would be lost otherwise.
func appendText(out []byte, text string) []byte {
	for i := range len(text) {
		switch c := text[i]; c {
		case '&':
			out = append(out, "&amp;"...)
		case '<':
			out = append(out, "&lt;"...)
		case '>':
			out = append(out, "&gt;"...)
		case '"':
			out = append(out, "&quot;"...)
		case '\r':
			out = append(out, "&#13;"...)
		default:
			out = append(out, c)
		}
	}
	return out
}
