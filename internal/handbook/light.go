package handbook

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
)

// A handbook of thousands of recipes is read lightly: each recipe is read whole, handed on, and put away; its header stays, with what lists and links
// tell of it, and its file is read again when its page is drawn. Memory then grows with the recipes in hand rather than with all of them.

// A Sum is the SHA-256 of a file's bytes.
type Sum [sha256.Size]byte

// A Header is what stays of a recipe that was put away. It can be kept from one run to the next, and stands as long as the text has the same sum and
// the handbook the same [Handbook.Rules].
type Header struct {
	Sum            Sum // of the file
	Title, Summary string
	Access         Access
	Picture, Shows string    // the picture's file, "" where there is none
	Updated        time.Time // the zero time where it is not given
	Product, Shelf string
}

// A Light says what becomes of recipes that are put away. Its functions are called on many goroutines at once.
type Light struct {
	// Keep is handed each sound recipe before it is put away. Strings that it keeps hold on to the whole text, unless they are cloned.
	Keep func(*Handbook, *Recipe)
	// Known gives the header that an earlier reading left of a recipe, or nil: then the recipe is not read beyond its sum.
	Known func(h *Handbook, file string, sum Sum) *Header
}

// LoadLight is [Load], with the recipes put away. A recipe with a problem stays whole.
func LoadLight(fsys fs.FS, light Light) (*Handbook, *problem.List) {
	r := NewReader(fsys)
	r.light = &light
	return r.Read(Everything)
}

// readLight reads the recipes' pages and puts them away.
func (r *Reader) readLight(h *Handbook, problems *problem.List) {
	h.fsys = r.fsys
	files := r.listing.pages["recipes"]
	h.Recipes = make([]*Recipe, len(files))
	found := make([]problem.List, len(files))
	parallel.Do(len(files), func(i int) {
		h.Recipes[i] = r.light.read(h, files[i], &found[i])
	})
	for i := range found {
		problems.Join(&found[i])
	}
}

func (l *Light) read(h *Handbook, file string, problems *problem.List) *Recipe {
	var src *problem.Source
	var sum Sum
	var known *Header
	readable := false
	err := readRaw(h.fsys, file, func(raw []byte) {
		sum = sha256.Sum256(raw)
		if l.Known != nil {
			known = l.Known(h, file, sum)
		}
		if known == nil {
			src, readable = newSource(file, raw, problems)
		}
	})
	if err != nil {
		src = unreadable(file, err, problems)
	}
	if known != nil {
		return known.recipe(h, file)
	}
	r := parsePage(src, readable, h.listing.told[file], RecipePage, h.Access, problems, &asked{}, h.recipe)
	if problems.Len() > 0 {
		return r
	}
	l.Keep(h, r)
	return r.header(sum).recipe(h, file)
}

// header gives what stays of a recipe.
func (r *Recipe) header(sum Sum) *Header {
	header := &Header{
		Sum: sum, Title: strings.Clone(r.Title), Summary: strings.Clone(r.Summary), Access: r.Access,
		Product: r.Product.Name, Shelf: strings.Clone(r.Shelf),
	}
	if r.Picture != nil {
		header.Picture, header.Shows = r.Picture.File, strings.Clone(r.Picture.Shows)
	}
	if r.Updated != nil {
		header.Updated = *r.Updated
	}
	return header
}

// recipe gives the recipe that a header is of, put away.
func (e *Header) recipe(h *Handbook, file string) *Recipe {
	r := &Recipe{Page: emptyPage(RecipePage, &problem.Source{Name: file}), Shelf: e.Shelf, away: e}
	r.Title, r.Summary, r.Access = e.Title, e.Summary, e.Access
	r.Product, _ = law.FindProduct(e.Product)
	if p := h.Pictures[norm.NFC.String(e.Picture)]; p != nil { // by its whole name, which beside the page could mean another
		r.Picture = &PictureUse{Picture: p, Shows: e.Shows}
	}
	if !e.Updated.IsZero() {
		r.Updated = &e.Updated
	}
	return r
}

// Header gives what stays of a recipe that was put away; nil of one that is whole.
func (r *Recipe) Header() *Header { return r.away }

// ErrChanged is given where a file is no longer what it was when the handbook was read.
var ErrChanged = errors.New("the file was changed while the handbook was being read; run the command again")

// Whole gives a recipe with all that its page says, read once more if it was put away: then it is another one, which shares the file.
func (h *Handbook) Whole(r *Recipe) (*Recipe, error) {
	if r.away == nil {
		return r, nil
	}
	problems := &problem.List{}
	var src *problem.Source
	err := readRaw(h.fsys, r.File, func(raw []byte) {
		if sha256.Sum256(raw) == r.away.Sum {
			src, _ = newSource(r.File, raw, problems)
		}
	})
	if err != nil || src == nil {
		return nil, fmt.Errorf("%s: %w", r.File, ErrChanged)
	}
	whole := parsePage(src, true, h.listing.told[r.File], RecipePage, h.Access, problems, &asked{}, h.recipe)
	if problems.Len() > 0 { // a picture's or an ingredient's page was read otherwise the first time
		return nil, fmt.Errorf("%s: %w", r.File, ErrChanged)
	}
	return whole, nil
}

// whole is [Handbook.Whole] for records, of which several may be of one recipe: it gives them the same one. A recipe whose file has changed
// since is given as if it had no versions.
func (h *Handbook) whole(r *Recipe) *Recipe {
	if r == nil || r.away == nil {
		return r
	}
	if w, known := h.opened.Load(r); known {
		return w.(*Recipe)
	}
	w, err := h.Whole(r)
	if err != nil {
		w = r
	}
	kept, _ := h.opened.LoadOrStore(r, w)
	return kept.(*Recipe)
}

// Rules gives the sum of what all recipes are read by: handbook.yaml, the ingredients' pages, the pictures' names and sizes, the names that were told of.
func (h *Handbook) Rules() Sum {
	h.rules.Do(func() {
		s := sha256.New()
		write(s, h.settingsText)
		for _, i := range h.Ingredients {
			write(s, i.File, i.Source.Text)
		}
		for _, file := range slices.Sorted(maps.Keys(h.Pictures)) {
			p := h.Pictures[file]
			write(s, file, p.File, fmt.Sprint(p.Width, p.Height))
		}
		write(s, slices.Sorted(maps.Keys(h.listing.told))...)
		h.rulesSum = Sum(s.Sum(nil))
	})
	return h.rulesSum
}

// write adds texts to a sum so that no two lists of texts look alike.
func write(s hash.Hash, texts ...string) {
	for _, text := range texts {
		fmt.Fprintf(s, "%d ", len(text))
		s.Write([]byte(text))
	}
}
