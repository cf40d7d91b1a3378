package handbook

import (
	"path"
	"regexp"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// A draft is a page while it is read: what it has of its own, and its front matter.
type draft struct {
	*document
	page  Page
	front *yaml.Node // nil where it could not be read
	usual Access     // of pages that say nothing
	asked *asked
}

// newDraft parts a source into front matter and body and reads the front matter's tree.
func newDraft(kind PageKind, src *problem.Source, problems *problem.List) *draft {
	from, to, body, fault := splitPage(src.Text)
	d := &draft{document: &document{source: src, start: from, problems: problems}}
	d.page = emptyPage(kind, src)
	d.page.Body, d.page.BodyStart = src.Text[body:], body
	if fault != "" {
		problems.Addf(d.page.top(), "begin the page with its facts between two lines of three dashes: ---, title: …, ---", "%s", fault)
		return d
	}
	d.front = d.parse(src.Text[from:to])
	if d.front == nil && problems.Len() == 0 {
		problems.Addf(d.whole(), "give at least the title", "there is nothing between the two lines of dashes")
	}
	return d
}

// emptyPage gives the page of a file, with nothing read of it yet. Until its access is known, it is for the maker alone.
func emptyPage(kind PageKind, src *problem.Source) Page {
	name := path.Base(src.Name)
	return Page{File: src.Name, Slug: strings.TrimSuffix(name, path.Ext(name)), Source: src, Kind: kind, Access: Maker}
}

var slugForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// slug refuses file names that do not make a good address.
func (d *draft) slug() {
	if !slugForm.MatchString(d.page.Slug) {
		d.problems.Addf(d.page.top(), "rename it to "+Slug(d.page.Slug)+".md", "the file's name becomes the page's address and has characters that do not fit one")
	}
}

// Slug turns words into a file name and address: lower-case letters, digits and hyphens; "page" where nothing is left.
func Slug(words string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(fold(words)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == '\'' || r == '’':
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "page"
}

// common reads what every page's front matter may have. Title names the field that titles the page.
func (d *draft) common(m *mapping, title string) {
	p := &d.page
	p.Title = d.title(m.need(title, "the page", "add a line "+title+": …"))
	p.Summary = m.words("summary")
	p.Access = d.usual
	if n := m.get("access"); n != nil {
		p.Access = d.access(n)
	}
	p.Updated = optional(d.document, m.get("updated"), parseDate)
	p.Video = d.video(m.get("video"))
}

// access reads who may see pages. What cannot be read is for the maker alone.
func (d *document) access(n *yaml.Node) Access {
	s, ok := d.oneOf(n, "kind of access", []string{string(Open), string(Members), string(Maker)})
	if !ok {
		return Maker
	}
	return Access(s)
}

var commonFields = []string{"summary", "access", "picture", "video", "updated"}

func parseDate(s string) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, strings.TrimSpace(s))
	if err != nil {
		return t, &quantity.SyntaxError{Length: len(s), Message: "a date should stand here", Hint: "write it as year, month and day: 2026-05-03"}
	}
	return t, nil
}
