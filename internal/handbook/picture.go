package handbook

import (
	"bufio"
	"encoding/xml"
	"image"
	_ "image/gif"  // sizes of
	_ "image/jpeg" // the formats
	_ "image/png"  // that pages show
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"larkrow.example/stillroom/internal/spell"
)

// pictureTypes are the endings of the files that a page may show.
var pictureTypes = []string{".svg", ".jpg", ".jpeg", ".png", ".webp", ".gif"}

func isPicture(file string) bool {
	return slices.Contains(pictureTypes, strings.ToLower(path.Ext(file)))
}

// measurePicture finds a picture's size from its own beginning; 0 × 0 where it does not say, or cannot be read.
func measurePicture(fsys fs.FS, file string) (*Picture, error) {
	p := &Picture{File: file, unread: true}
	f, err := fsys.Open(file)
	if err != nil {
		return p, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil {
		if err := pictureFits(file, info.Size()); err != nil {
			return p, err
		}
	}
	head := bufio.NewReader(io.LimitReader(f, maxHeader))
	if _, err := head.Peek(1); err != nil && err != io.EOF { //nolint:errorlint // a reader gives io.EOF as it is
		return p, err
	}
	if strings.EqualFold(path.Ext(file), ".svg") {
		p.Width, p.Height = svgSize(head)
	} else if c, _, err := image.DecodeConfig(head); err == nil {
		p.Width, p.Height = c.Width, c.Height
	}
	p.unread = false
	return p, nil
}

// maxHeader bounds how much of a picture is looked at for its size, in bytes.
const maxHeader = 1 << 20

// svgSize reads a drawing's size from its viewBox.
func svgSize(r io.Reader) (width, height int) {
	dec := xml.NewDecoder(r)
	dec.Strict = false
	for {
		token, err := dec.RawToken()
		if err != nil {
			return 0, 0
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr {
			if f := strings.FieldsFunc(a.Value, isSeparator); a.Name.Local == "viewBox" && len(f) == 4 {
				width, height = pixels(f[2]), pixels(f[3])
			}
		}
		return width, height
	}
}

func isSeparator(r rune) bool { return unicode.IsSpace(r) || r == ',' }

// pixels reads a length in whole pixels, 0 where it is none that a picture can have.
func pixels(s string) int {
	if n, err := strconv.ParseFloat(s, 64); err == nil && n >= 1 && n < 100_000 {
		return int(n + 0.5)
	}
	return 0
}

// picture reads the field picture: a file's name, or {file, shows}.
func (d *draft) picture(m *mapping, h *Handbook) {
	n := m.get("picture")
	if n == nil {
		return
	}
	use := &PictureUse{}
	file := n
	if n.Kind == yaml.MappingNode {
		group, ok := d.mapping(n, "picture", []string{"file", "shows"})
		if !ok {
			return
		}
		file, use.Shows = group.need("file", "picture", "write it as picture: {file: cream.jpg, shows: …}"), group.words("shows")
	}
	name, ok := d.text(file)
	if !ok {
		return
	}
	d.asked.picture = name
	if use.Picture = h.FindPicture(d.page.File, name); use.Picture == nil {
		d.problems.Addf(d.span(file), spell.DidYouMean(name, h.PictureNames(), "put the picture beside the page or into pictures/"), "there is no picture “%s”", name)
		return
	}
	d.page.Picture = use
}

// FindPicture gives the picture that a page names: a path from the page's folder, or a file in pictures/; nil if there is none.
func (h *Handbook) FindPicture(page, name string) *Picture {
	if p := h.Pictures[norm.NFC.String(path.Join(path.Dir(page), name))]; p != nil {
		return p
	}
	return h.Pictures[norm.NFC.String(path.Join("pictures", name))]
}

// PictureNames gives the names of all picture files, without folders, for near-miss suggestions.
func (h *Handbook) PictureNames() []string {
	names := make([]string, 0, len(h.Pictures))
	for file := range h.Pictures {
		names = append(names, path.Base(file))
	}
	slices.Sort(names)
	return names
}
