package pdf

import (
	"errors"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// tags is a part's logical structure: what a screen reader reads (ISO 32000-1, 14.7).
type tags struct {
	root   int   // the object of its root
	tops   []int // the tags at the top
	nodes  []int // objects of the two trees below
	next   int   // one more than the greatest key of owners
	owners []owner
	cells  []cell
}

// An owner says which tags a page or a link belongs to.
type owner struct {
	key  int
	tags types.Object
}

// A cell is a table's cell that others name as their heading.
type cell struct {
	name string
	tag  types.Object
}

func (p *part) tags() (*tags, error) {
	t := &tags{root: object(p.catalogue["StructTreeRoot"])}
	root, err := p.ctx.DereferenceDict(p.catalogue["StructTreeRoot"])
	if err != nil || root == nil {
		return nil, errors.Join(errors.New("the printed pages have no tags for screen readers"), err)
	}
	switch top := root["K"].(type) {
	case types.IndirectRef:
		t.tops = []int{object(top)}
	case types.Array:
		for _, o := range top {
			t.tops = append(t.tops, object(o))
		}
	}
	err = errors.Join(p.leaves(root["ParentTree"], "Nums", t, func(key, value types.Object) error {
		n, ok := key.(types.Integer)
		if !ok {
			return fmt.Errorf("the tags of the printed pages have the key %v", key)
		}
		t.owners = append(t.owners, owner{n.Value(), value})
		t.next = max(t.next, n.Value()+1)
		return nil
	}), p.leaves(root["IDTree"], "Names", t, func(key, value types.Object) error {
		name, ok := key.(types.StringLiteral)
		if !ok {
			return fmt.Errorf("the tags of the printed pages have the name %v", key)
		}
		t.cells = append(t.cells, cell{string(name), value})
		return nil
	}))
	return t, err
}

// leaves walks a number tree or a name tree (ISO 32000-1, 7.9.6 and 7.9.7) in order and notes its objects.
func (p *part) leaves(o types.Object, pairs string, t *tags, each func(key, value types.Object) error) error {
	if o == nil {
		return nil
	}
	if number := object(o); number > 0 {
		t.nodes = append(t.nodes, number)
	}
	node, err := p.ctx.DereferenceDict(o)
	if err != nil {
		return fmt.Errorf("read the tags of the printed pages: %w", err)
	}
	list, err := p.ctx.DereferenceArray(node[pairs])
	if err != nil {
		return fmt.Errorf("read the tags of the printed pages: %w", err)
	}
	for i := 0; i+1 < len(list); i += 2 {
		if err := each(list[i], list[i+1]); err != nil {
			return err
		}
	}
	kids, err := p.ctx.DereferenceArray(node["Kids"])
	if err != nil {
		return fmt.Errorf("read the tags of the printed pages: %w", err)
	}
	for _, kid := range kids {
		if err := p.leaves(kid, pairs, t, each); err != nil {
			return err
		}
	}
	return nil
}
