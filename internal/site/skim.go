package site

import (
	"fmt"
	"io/fs"
	"sync"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/markdown"
	"larkrow.example/stillroom/internal/problem"
)

// A handbook is skimmed where all its pages are wanted once: every recipe is read, checked and put away, with its gist kept, and read again for the
// moment in which its page is drawn.

// Skim reads a handbook to make an edition of it, and what lies behind its door. It knows of no findings but the stops of recipes that these show. What an earlier run
// remembers of recipes that are still the same is taken from there; memory may be nil.
func Skim(fsys fs.FS, memory *Memory, edition Edition) (*Book, *problem.List) {
	k := &skimmer{edition: edition, memory: memory, converter: markdown.New()}
	h, problems := handbook.LoadLight(fsys, handbook.Light{Keep: k.keep, Known: k.known})
	before := &Book{benches: make(map[*handbook.Recipe]*bench, len(h.Recipes))}
	for _, r := range h.Recipes {
		if n, kept := k.benches.Load(r.File); kept && r.Header() != nil {
			before.benches[r] = n.(*bench)
		}
	}
	return before.Renew(h, problems), problems
}

// A skimmer keeps what is needed of recipes that are put away.
type skimmer struct {
	edition   Edition
	memory    *Memory
	converter *markdown.Converter
	benches   sync.Map // *bench by file
	asking    sync.Once
	current   bool // whether the memory is of this program and of these rules
}

// keep takes the gist of a recipe, and its stops if it may be published.
func (k *skimmer) keep(h *handbook.Handbook, r *handbook.Recipe) {
	d := k.converter.Parse(r.Body)
	unknown := unknownAmounts(r, d, h.Materials)
	n := &bench{packed: newGist(r, d).pack(), judged: k.judges(h, r.Access), suspect: len(d.Issues) > 0 || unknown.Len() > 0}
	if n.judged {
		n.stops = stopsIn(h.Work(r))
	}
	k.benches.Store(r.File, n)
}

// known gives what the memory has of a recipe.
func (k *skimmer) known(h *handbook.Handbook, file string, sum handbook.Sum) *handbook.Header {
	k.asking.Do(func() { k.current = k.memory.fits(h) })
	if !k.current {
		return nil
	}
	packed := k.memory.Recipes[file]
	was, same := unpackRemembered(packed, sum)
	if !same || !was.Judged && k.judges(h, was.Header.Access) {
		return nil
	}
	k.benches.Store(file, &bench{packed: was.Gist, judged: was.Judged, remembered: packed})
	return &was.Header
}

// judges says whether a recipe may be held back.
func (k *skimmer) judges(h *handbook.Handbook, access handbook.Access) bool {
	behind := k.edition == OpenEdition && h.Door.Kind != "" && MembersEdition.shows(access)
	return k.edition != MakerEdition && k.edition.shows(access) || behind
}

// skimmed gives what a recipe that was put away leads to. If something is wrong with its body, that is read once more, to tell it with its place.
func (b *Book) skimmed(r *handbook.Recipe) *body {
	g, y := b.gistOf(r), &body{}
	if !b.benches[r].suspect && b.leadAll(&r.Page, g) {
		y.refer(b.Handbook, &r.Page, g.Links, g.Pictures)
		return y
	}
	whole, err := b.Whole(r)
	if err != nil {
		y.problems.Addf(problem.Span{Source: r.Source}, "see that nothing else writes into the folder", "%v", handbook.ErrChanged)
		return y
	}
	y = b.read(&whole.Page)
	y.unknown = unknownAmounts(whole, y.document, b.Materials)
	return y
}

// leadAll says whether every link and picture in a recipe's body leads somewhere.
func (b *Book) leadAll(p *handbook.Page, g *gist) bool {
	for _, name := range g.Links {
		if !b.leads(p, name) {
			return false
		}
	}
	for _, name := range g.Pictures {
		if b.FindPicture(p.File, unescapePath(name)) == nil {
			return false
		}
	}
	return true
}

// A hand is a recipe that is read again while its pages are drawn.
type hand struct {
	whole *handbook.Recipe
	bench bench
}

// pickUp reads a recipe again that was put away, until it is put down.
func (b *Book) pickUp(r *handbook.Recipe) (putDown func(), err error) {
	if r.Header() == nil {
		return func() {}, nil
	}
	whole, err := b.Whole(r)
	if err != nil {
		return nil, err
	}
	held := &hand{whole: whole}
	b.hands.Store(r, held)
	b.hands.Store(whole, held)
	return func() {
		b.hands.Delete(r)
		b.hands.Delete(whole)
	}, nil
}

// inHand gives a recipe whole that may have been put away and is then picked up.
func (b *Book) inHand(r *handbook.Recipe) (*handbook.Recipe, error) {
	if r.Header() == nil {
		return r, nil
	}
	held, picked := b.hands.Load(r)
	if !picked {
		return nil, fmt.Errorf("%s was put away", r.File)
	}
	return held.(*hand).whole, nil
}
