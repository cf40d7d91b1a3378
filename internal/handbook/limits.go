package handbook

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// A page may have been pasted from elsewhere, or written to do harm. These limits keep the reading of any page, and what is made of it, within
// seconds and a small part of a computer's memory; a page that someone wrote does not come near them. What a formula may have is bounded where it
// is read, and what a text may have in package markdown.
const (
	maxPage    = 2 << 20   // bytes in a file: a book of a thousand printed pages fits
	maxFacts   = 256 << 10 // bytes of YAML, and so how many problems one page can have
	maxValues  = 1000      // values in one list or group of it; some are compared each with each
	maxValue   = 4000      // characters in one value
	maxName    = 200       // characters in a name, which many pages and columns repeat
	maxPhoto   = 32 << 20  // bytes in a picture; it is held in memory two or three times while it is cleaned
	maxDrawing = 4 << 20   // bytes in an SVG drawing, which is taken apart
)

// bounded refuses a tree with a list or group of too many values, of which nothing more is told.
func (d *document) bounded(n *yaml.Node) *yaml.Node {
	if big := tooMany(n); big != nil {
		count, what := len(big.Content), "list"
		if big.Kind == yaml.MappingNode {
			count, what = count/2, "group"
		}
		d.problems.Addf(d.span(big), "take some out, or spread them over several pages", "this %s has %d values, and none can have more than %d", what, count, maxValues)
		return nil
	}
	return n
}

// tooMany gives the first list or group of a tree that has too many values.
func tooMany(n *yaml.Node) *yaml.Node {
	if len(n.Content) > maxValues && (n.Kind != yaml.MappingNode || len(n.Content) > 2*maxValues) {
		return n
	}
	for _, c := range n.Content {
		if len(c.Content) > 0 {
			if big := tooMany(c); big != nil {
				return big
			}
		}
	}
	return nil
}

// legible refuses a value that does not say what it seems to say: one with characters that do not show, or with a letter that looks like
// one of another alphabet. It would be shown like another, and a material of that name is not found, nor what is to be warned of. It refuses what is too long, too.
func (d *document) legible(n *yaml.Node, most int) bool {
	s := n.Value
	if len(s) <= most && !strings.ContainsFunc(s, isUnusual) {
		return true
	}
	if strings.IndexFunc(s, isControl) >= 0 {
		d.problems.Addf(d.span(n), "take the code with the backslash out", "there is a control character in this value, which no text has")
		return false
	}
	if i, size := spell.Piled(s); i >= 0 {
		d.problems.Addf(d.inner(n, i, size), "take the accents out; they would be drawn over the lines around", "%d accents stand on one letter here", utf8.RuneCountInString(s[i:i+size]))
		return false
	}
	if i, size := spell.Unseen(s); i >= 0 {
		d.unseen(d.inner(n, i, size), s[i:i+size])
		return false
	}
	if i, size := spell.Mixed(s); i >= 0 {
		d.problems.Addf(d.inner(n, i, size), "write the word anew on the keyboard", "the letter “%s” is not the Latin one that it looks like (it is %s)", s[i:i+size], codeOf(s[i:]))
		return false
	}
	if count := utf8.RuneCountInString(s); count > most {
		d.problems.Addf(d.span(n), "shorten it; what is to be told at length stands below the second line of dashes", "this has %d characters, and %d are the most that can stand here", count, most)
		return false
	}
	return true
}

// title reads the name that a page is called by wherever it is named.
func (d *document) title(n *yaml.Node) string {
	s, ok := d.text(n)
	if count := utf8.RuneCountInString(s); ok && count > maxName {
		d.problems.Addf(d.span(n), "shorten it; a summary: can say more", "the name has %d characters, and a page's name can have %d", count, maxName)
		return ""
	}
	return s
}

// isUnusual finds characters that are looked at more closely.
func isUnusual(r rune) bool { return r >= utf8.RuneSelf || r < ' ' || r == 0x7F }

// unseen tells of a character that does not show.
func (d *document) unseen(at problem.Span, char string) {
	d.problems.Addf(at, "take the character "+codeOf(char)+" out; it often comes with pasted text, and writing the word anew leaves it behind",
		"a character that does not show stands here (%s)", codeOf(char))
}

func codeOf(s string) string {
	r, _ := utf8.DecodeRuneInString(s)
	return spell.Code(r)
}

// badName says what is wrong with the name of a file or folder, which is shown in messages and becomes part of addresses; "" where nothing is.
func badName(name string) string {
	if !utf8.ValidString(name) {
		return "the name is not UTF-8 text"
	}
	for _, r := range name {
		if isControl(r) || r == '\n' || r == '\t' {
			return fmt.Sprintf("the name has a control character in it (%s)", spell.Code(r))
		}
	}
	if i, _ := spell.Unseen(name); i >= 0 {
		return fmt.Sprintf("the name has a character in it that does not show (%s)", codeOf(name[i:]))
	}
	return ""
}

// A sizeError is a picture that is too large.
type sizeError struct {
	size, most int64
	drawing    bool
}

// pictureFits refuses a picture that is too large.
func pictureFits(file string, size int64) error {
	e := &sizeError{size: size, most: maxPhoto, drawing: strings.HasSuffix(strings.ToLower(file), ".svg")}
	if e.drawing {
		e.most = maxDrawing
	}
	if size <= e.most {
		return nil
	}
	return e
}

// Error says how large the picture is and may be.
func (e *sizeError) Error() string {
	kind := "picture"
	if e.drawing {
		kind = "drawing"
	}
	return fmt.Sprintf("the file has %d MB, and a %s can have %d", (e.size+1<<20-1)>>20, kind, e.most>>20)
}

func (e *sizeError) hint() string {
	if e.drawing {
		return "save it with fewer details, or as PNG"
	}
	return "save it smaller: 2,000 pixels on the longer side are enough for any screen"
}
