package picture

import "bytes"

// GIF: Graphics Interchange Format, version 89a, 17 to 27, from memory. The extensions that make animations loop are common practice.
const (
	gifImage     = 0x2C
	gifExtension = 0x21
	gifTrailer   = 0x3B
	gifControl   = 0xF9 // how the next picture is shown
	gifPlainText = 0x01
	gifApp       = 0xFF
)

func isGIF(data []byte) bool {
	return bytes.HasPrefix(data, []byte("GIF87a")) || bytes.HasPrefix(data, []byte("GIF89a"))
}

// A gif is a GIF file being cleaned.
type gif struct {
	in      cursor
	out     []byte
	control []byte // of the picture to come, written with it
	shows   bool
}

// cleanGIF drops comments, text blocks (which no browser shows), all applications' extensions but loops, and all after the trailer.
func cleanGIF(data []byte) ([]byte, error) {
	g := &gif{in: cursor{data}, out: make([]byte, 0, len(data))}
	head, ok := g.in.take(13)
	if ok {
		g.out = append(g.out, head...)
		ok = g.colours(head[10])
	}
	for ok {
		var kind byte
		if kind, ok = g.in.next(); !ok {
			break
		}
		switch kind {
		case gifImage:
			ok = g.image()
		case gifExtension:
			ok = g.extension()
		case gifTrailer:
			if !g.shows {
				return nil, damaged("the GIF file holds no picture")
			}
			return append(g.out, gifTrailer), nil
		default:
			ok = false
		}
	}
	return nil, damaged("the GIF picture is damaged, or not all of it is here")
}

// colours copies a table of colours, where the packed field before it says that there is one.
func (g *gif) colours(packed byte) bool {
	if packed&0x80 == 0 {
		return true
	}
	table, ok := g.in.take(3 << (packed&7 + 1))
	g.out = append(g.out, table...)
	return ok
}

// image copies a picture: its place, its colours and its data.
func (g *gif) image() bool {
	place, ok := g.in.take(9)
	if !ok {
		return false
	}
	g.out = append(append(append(g.out, g.control...), gifImage), place...)
	g.control, g.shows = nil, true
	if !g.colours(place[8]) {
		return false
	}
	size, ok := g.in.next() // of the codes
	if !ok {
		return false
	}
	g.out = append(g.out, size)
	blocks, ok := g.blocks()
	for _, b := range blocks {
		g.out = append(append(g.out, byte(len(b))), b...)
	}
	g.out = append(g.out, 0)
	return ok
}

// extension reads an extension and keeps it if it tells how pictures are shown.
func (g *gif) extension() bool {
	label, _ := g.in.next()
	blocks, ok := g.blocks()
	if !ok {
		return false
	}
	switch {
	case label == gifControl:
		if len(blocks) == 0 || len(blocks[0]) != 4 {
			return false
		}
		g.control = append(append([]byte{gifExtension, gifControl, 4}, blocks[0]...), 0)
	case label == gifPlainText:
		g.control = nil
	case label == gifApp && len(blocks) > 0:
		g.loop(string(blocks[0]), blocks[1:])
	}
	return true
}

// loop keeps how often an animation is shown.
func (g *gif) loop(name string, blocks [][]byte) {
	if name != "NETSCAPE2.0" && name != "ANIMEXTS1.0" {
		return
	}
	for _, b := range blocks {
		if len(b) == 3 && b[0] == 1 {
			g.out = append(append(g.out, gifExtension, gifApp, byte(len(name))), name...)
			g.out = append(g.out, 3, 1, b[1], b[2], 0)
			return
		}
	}
}

// blocks reads blocks of data up to an empty one.
func (g *gif) blocks() ([][]byte, bool) {
	var all [][]byte
	for {
		size, ok := g.in.next()
		if !ok {
			return nil, false
		}
		if size == 0 {
			return all, true
		}
		block, ok := g.in.take(int(size))
		if !ok {
			return nil, false
		}
		all = append(all, block)
	}
}
