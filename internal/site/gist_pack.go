package site

import (
	"encoding/binary"
	"time"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
)

// packedGist is a gist in one string: of ten thousand recipes the collector of garbage has then nothing to look through.
type packedGist string

// pack packs a gist.
func (g *gist) pack() packedGist {
	var p packer
	p.number(len(g.Items))
	for _, item := range g.Items {
		p.text(item.Name)
		p.text(item.Material)
	}
	p.number(len(g.Versions))
	for _, v := range g.Versions {
		p.text(v.Name)
		p.text(string(v.Kind))
		p.number(len(v.Takes))
		for _, item := range v.Takes {
			p.number(int(item))
		}
	}
	p.number(len(g.Uses))
	for _, u := range g.Uses {
		p.number(int(u.Item))
		p.number(int(u.Version))
		p.text(u.Percent)
	}
	p.texts(g.Links)
	p.texts(g.Pictures)
	p.text(g.Minutes)
	return packedGist(p)
}

// unpack gives the gist, whose texts are pieces of the packed one.
func (g packedGist) unpack() *gist {
	p := unpacker(g)
	all := &gist{Items: make([]gistItem, p.number())}
	for i := range all.Items {
		all.Items[i] = gistItem{p.text(), p.text()}
	}
	all.Versions = make([]gistVersion, p.number())
	for i := range all.Versions {
		v := &all.Versions[i]
		v.Name, v.Kind = p.text(), formula.VersionKind(p.text())
		v.Takes = make([]uint16, p.number())
		for j := range v.Takes {
			v.Takes[j] = uint16(p.number())
		}
	}
	all.Uses = make([]gistUse, p.number())
	for i := range all.Uses {
		all.Uses[i] = gistUse{uint16(p.number()), uint16(p.number()), p.text()}
	}
	all.Links, all.Pictures, all.Minutes = p.texts(), p.texts(), p.text()
	return all
}

// A remembered is what is left of a recipe for the next run.
type remembered struct {
	Header handbook.Header
	Gist   packedGist
	Judged bool // whether it was looked at for stops, of which it has none
}

// pack packs what is left of a recipe: its sum first.
func (r *remembered) pack() string {
	p, e := packer(r.Header.Sum[:]), &r.Header
	p.number(map[bool]int{true: 1}[r.Judged])
	for _, s := range []string{e.Title, e.Summary, string(e.Access), e.Picture, e.Shows, e.Product, e.Shelf} {
		p.text(s)
	}
	if e.Updated.IsZero() {
		p.text("")
	} else {
		p.text(e.Updated.Format(time.RFC3339))
	}
	p.text(string(r.Gist))
	return string(p)
}

// unpackRemembered undoes pack; false where it is of another sum.
func unpackRemembered(packed string, sum Sum) (*remembered, bool) {
	if len(packed) < len(sum) || packed[:len(sum)] != string(sum[:]) {
		return nil, false
	}
	p := unpacker(packed[len(sum):])
	r := &remembered{Header: handbook.Header{Sum: sum}, Judged: p.number() == 1}
	e := &r.Header
	e.Title, e.Summary, e.Access, e.Picture, e.Shows, e.Product, e.Shelf = p.text(), p.text(), handbook.Access(p.text()), p.text(), p.text(), p.text(), p.text()
	if day := p.text(); day != "" {
		e.Updated, _ = time.Parse(time.RFC3339, day)
	}
	r.Gist = packedGist(p.text())
	return r, true
}

// A packer puts numbers and texts behind one another: numbers as varints, a text or list behind its length.
type packer []byte

func (p *packer) number(n int) { *p = binary.AppendUvarint(*p, uint64(n)) }

func (p *packer) text(s string) {
	p.number(len(s))
	*p = append(*p, s...)
}

func (p *packer) texts(all []string) {
	p.number(len(all))
	for _, s := range all {
		p.text(s)
	}
}

// An unpacker takes off what a packer packed.
type unpacker string

func (p *unpacker) number() int {
	n := 0
	for i, c := range []byte(*p) {
		n |= int(c&0x7f) << (7 * i)
		if c < 0x80 {
			*p = (*p)[i+1:]
			break
		}
	}
	return n
}

func (p *unpacker) text() string {
	n := p.number()
	s := (*p)[:n]
	*p = (*p)[n:]
	return string(s)
}

func (p *unpacker) texts() []string {
	all := make([]string, p.number())
	for i := range all {
		all[i] = p.text()
	}
	return all
}
