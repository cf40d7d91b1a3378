package pdf

import (
	"bytes"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// A mark is a heading in the outline that a reader shows beside the pages.
type mark struct {
	number int // of its object in the part
	level  int // 1 for h1
	dict   types.Dict

	body  []byte // title, place and tag as the file has them
	under []*mark
	count int // of all marks under it
}

// outline lists a part's marks in the order of the pages. Headings without a tag go by their depth.
func (p *part) outline() []*mark {
	var all []*mark
	var walk func(o types.Object, depth int)
	walk = func(o types.Object, depth int) {
		for seen := make(map[int]bool); o != nil && !seen[object(o)]; {
			seen[object(o)] = true
			item, err := p.ctx.DereferenceDict(o)
			if err != nil || item == nil {
				return
			}
			all = append(all, &mark{number: object(o), level: p.level(item["SE"], depth), dict: item})
			walk(item["First"], depth+1)
			o = item["Next"]
		}
	}
	if top, err := p.ctx.DereferenceDict(p.catalogue["Outlines"]); err == nil && top != nil {
		walk(top["First"], 1)
	}
	return all
}

// level gives a heading's level by its tag: 2 for H2.
func (p *part) level(tag types.Object, otherwise int) int {
	d, err := p.ctx.DereferenceDict(tag)
	if err != nil || d == nil {
		return otherwise
	}
	if role, ok := d["S"].(types.Name); ok && len(role) == 2 && role[0] == 'H' && role[1] >= '1' && role[1] <= '6' {
		return int(role[1] - '0')
	}
	return otherwise
}

// copy writes what of a mark is the same wherever it hangs.
func (m *mark) copy(c *copier) error {
	kept := make(types.Dict)
	for _, key := range []string{"Title", "Dest", "SE"} {
		if o, ok := m.dict[key]; ok {
			kept[key] = o
		}
	}
	var buf bytes.Buffer
	err := c.entries(&buf, kept)
	m.body = buf.Bytes()
	return err
}

// nested hangs marks under those of a higher level that come before them.
func nested(all []*mark) *mark {
	top := &mark{}
	path := []*mark{top}
	for _, m := range all {
		for len(path) > 1 && path[len(path)-1].level >= m.level {
			path = path[:len(path)-1]
		}
		for _, above := range path {
			above.count++
		}
		above := path[len(path)-1]
		above.under = append(above.under, m)
		path = append(path, m)
	}
	return top
}

// writeOutline writes the outline of the whole file, all open.
func (j *join) writeOutline() {
	top := nested(j.marks)
	j.put(j.outlining, fmt.Appendf(nil, "<</Type/Outlines%s>>", j.hang(top, j.outlining)))
}

// hang writes the marks under one and gives the entries that lead to them.
func (j *join) hang(above *mark, number int) string {
	if len(above.under) == 0 {
		return ""
	}
	first := j.reserve()
	for range above.under[1:] {
		j.reserve()
	}
	last := first + len(above.under) - 1
	for i, m := range above.under {
		at := first + i
		body := fmt.Appendf(nil, "<<%s/Parent %d 0 R", m.body, number)
		if i > 0 {
			body = fmt.Appendf(body, "/Prev %d 0 R", at-1)
		}
		if at < last {
			body = fmt.Appendf(body, "/Next %d 0 R", at+1)
		}
		body = append(body, j.hang(m, at)...)
		j.put(at, append(body, ">>"...))
	}
	return fmt.Sprintf("/First %d 0 R/Last %d 0 R/Count %d", first, last, above.count)
}
