package binder

import (
	"bytes"
	"encoding/base64"
	"html/template"
	"mime"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"larkrow.example/stillroom/internal/site"
)

// gathered makes a finished piece of a page part of one document: its ids get the unit's before them, so that they stay single; links to pages that
// are in the binder lead there, others become plain words; pictures are put in whole.
func (b *Binder) gathered(piece template.HTML, unit string) (template.HTML, error) {
	if !bytes.Contains([]byte(piece), []byte("<")) {
		return piece, nil
	}
	var out bytes.Buffer
	tokens := html.NewTokenizer(strings.NewReader(string(piece)))
	bare := 0 // links opened and left out
	for {
		kind := tokens.Next()
		switch kind {
		case html.ErrorToken:
			return template.HTML(out.String()), nil // a finished piece ends, and has no other errors
		case html.StartTagToken, html.SelfClosingTagToken:
			raw := slices.Clone(tokens.Raw())
			token := tokens.Token()
			changed, keep, err := b.place(&token, unit)
			switch {
			case err != nil:
				return "", err
			case !keep:
				bare++
			case changed:
				out.WriteString(token.String())
			default:
				out.Write(raw)
			}
		case html.EndTagToken:
			raw := slices.Clone(tokens.Raw())
			if name, _ := tokens.TagName(); bare > 0 && string(name) == "a" {
				bare--
				continue
			}
			out.Write(raw)
		default:
			out.Write(tokens.Raw())
		}
	}
}

// place mends the attributes of a tag. A link that leads nowhere in print is not kept.
func (b *Binder) place(token *html.Token, unit string) (changed, keep bool, err error) {
	keep = true
	for i := range token.Attr {
		a := &token.Attr[i]
		was := a.Val
		switch a.Key {
		case "id", "for", "headers", "aria-labelledby", "aria-describedby":
			a.Val = within(unit, a.Val)
		case "href":
			if a.Val = b.leads(a.Val, unit); a.Val == "" && token.Data == "a" {
				keep = false
			}
		case "src":
			if a.Val, err = b.whole(a.Val); err != nil {
				return false, false, err
			}
		}
		changed = changed || a.Val != was
	}
	return changed, keep, nil
}

// within gives an id its unit's before it. Signs that do not survive in a PDF's destinations become hyphens.
func within(unit, ids string) string {
	words := strings.Fields(ids)
	for i, id := range words {
		words[i] = unit + "-" + plain(id)
	}
	return strings.Join(words, " ")
}

func plain(id string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r > 127: // letters that differ stay different
			return 'a' + r%26
		}
		return '-'
	}, id)
}

// leads gives where a link leads in the document, "" where that is not in it.
func (b *Binder) leads(href, unit string) string {
	if href == "" {
		return ""
	}
	if fragment, ok := strings.CutPrefix(href, "#"); ok {
		return "#" + within(unit, fragment)
	}
	file, inside := strings.CutPrefix(href, site.PageRoot)
	if !inside {
		return href // out into the world
	}
	file, fragment, _ := strings.Cut(file, "#")
	p := b.addresses[file].Page
	if p == nil || b.ids[p] == "" {
		return ""
	}
	if fragment != "" {
		return "#" + within(b.ids[p], fragment)
	}
	return "#" + b.ids[p]
}

// whole gives a picture as an address that has its bytes in it.
func (b *Binder) whole(src string) (string, error) {
	file := b.addresses[strings.TrimPrefix(src, site.PageRoot)].Picture
	if file == "" {
		return src, nil
	}
	data, err := b.open(file)
	if err != nil {
		return "", err
	}
	return inline(mime.TypeByExtension(path.Ext(file)), data), nil
}

// inline writes bytes as an address.
func inline(media string, data []byte) string {
	return "data:" + media + ";base64," + base64.StdEncoding.EncodeToString(data)
}
