package site

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"path"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/seal"
)

// What the door does to an edition: every members' page is drawn as in the members' edition and sealed into its teaser, together with its
// downloads; pictures that only such pages show, the members' search list and the members' form of each ingredient's page are sealed files with names
// that say nothing. A sealed thing is bound to the path that it would have in the members' edition.

// A Lock is the key of a door, and the ring of those who may open it.
type Lock struct {
	Door seal.Door
	Ring seal.Ring
}

// Seal puts the members' pages into an open edition, sealed. open reads a picture's bytes.
func (s *Build) Seal(lock Lock, open func(file string) ([]byte, error)) {
	l := &sealing{lock: lock, front: s, members: NewBuild(s.Book, MembersEdition, s.theme), open: open, public: s.pictures, lone: map[string]string{}}
	for _, i := range l.members.ingredients {
		if _, known := s.materials[i.Slug]; !known && s.byID[i.Slug] == nil {
			l.lone[ingredientPath(i)] = lock.Door.Name(ingredientPath(i))
		}
	}
	s.sealing = l
}

// A sealing makes the sealed things of an edition.
type sealing struct {
	lock    Lock
	front   *Build // the open edition
	members *Build
	open    func(file string) ([]byte, error)
	public  map[string]string // pictures that everyone sees
	lone    map[string]string // pages that the open edition has not even a teaser of, such as those of ingredients that only members' recipes take, and their names
}

// payloadType is the media type of a sealed page: JSON of a [payload].
const payloadType = "application/json"

// searchPath is where the list for the search is.
const searchPath = "search.json"

// sealedFolder has the sealed files of an edition.
const sealedFolder = "sealed/"

// lobbyPath is a page of the open edition that shows the sealed file whose name its address has after a question mark: a lone page is found
// in no other way.
const lobbyPath = sealedFolder + "index.html"

// A payload is what a sealed page opens to.
type payload struct {
	Path     string                   `json:"path"`     // where the page stands in the members' edition, from the top
	Page     string                   `json:"page"`     // the page as HTML
	Files    map[string]string        `json:"files"`    // what it offers for download, by the address in the page
	Pictures map[string]sealedPicture `json:"pictures"` // pictures that are sealed, too, by their path from the top
	Pages    map[string]string        `json:"pages"`    // lone pages that it leads to, by their path from the top; the names of their files
}

// A sealedPicture says where a sealed picture is, from the top, and what type it is of.
type sealedPicture struct {
	Name string `json:"name"`
	Type string `json:"type"`
}

// page gives the sealed form of a page, bound to its path, or to its name where that is all that the open edition knows of it.
func (l *sealing) page(file string) ([]byte, error) {
	raw, err := l.payload(file)
	if err != nil {
		return nil, err
	}
	return l.lock.Door.ContentKey().Seal(cmp.Or(l.lone[file], file), payloadType, raw)
}

// payload gives what a sealed page is to open to.
func (l *sealing) payload(file string) ([]byte, error) {
	if r := l.members.Recipe(file); r != nil {
		putDown, err := l.members.pickUp(r)
		if err != nil {
			return nil, err
		}
		defer putDown()
	}
	data, found, err := l.members.Page(file, l.open)
	if err != nil {
		return nil, err
	}
	if !found {
		return nil, fmt.Errorf("the members' edition has no page %s", file)
	}
	content := payload{Path: file, Page: string(data), Files: map[string]string{}, Pictures: map[string]sealedPicture{}, Pages: l.pagesIn(data)}
	if r := l.members.Recipe(file); r != nil {
		for _, o := range l.members.recipeOutputs(r)[1:] {
			data, err := o.bytes()
			if err != nil {
				return nil, err
			}
			content.Files[path.Base(o.path)] = string(data)
		}
	}
	for _, p := range l.picturesOf(file) {
		to := picturePath(p.File)
		content.Pictures[to] = sealedPicture{Name: l.name(to), Type: mediaType(to)}
	}
	return json.Marshal(content)
}

// pagesIn gives the lone pages that a page names.
func (l *sealing) pagesIn(page []byte) map[string]string {
	in := map[string]string{}
	for file, name := range l.lone {
		if bytes.Contains(page, []byte(file)) {
			in[file] = name
		}
	}
	return in
}

// name gives the file of a sealed thing.
func (l *sealing) name(file string) string { return sealedFolder + l.lock.Door.Name(file) + ".bin" }

// picturesOf gives the pictures that a members' page shows and that are for members alone.
func (l *sealing) picturesOf(file string) []*handbook.Picture {
	y := l.members.bodies[l.members.PageOf(l.members.Source(file))]
	if y == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(y.pictures), func(p *handbook.Picture) bool { return l.public[p.File] != "" })
}

// outputs lists the sealed files of an edition, and the ring.
func (l *sealing) outputs() []output {
	all := []output{{sealedFolder + "ring.js", func(*bytes.Buffer) ([]byte, error) {
		return slices.Concat([]byte("stillroomRing("), l.lock.Ring.JSON(), []byte(");\n")), nil
	}}, l.front.lobbyOutput(), l.file(searchPath, payloadType, l.search)}
	for file, to := range l.members.pictures {
		if l.public[file] == "" {
			all = append(all, l.file(to, mediaType(to), func() ([]byte, error) { return l.members.pictureBytes(file, l.open) }))
		}
	}
	for _, i := range l.members.ingredients {
		if to := ingredientPath(i); i.Access == handbook.Open || l.lone[to] != "" {
			all = append(all, output{l.name(to), func(*bytes.Buffer) ([]byte, error) { return l.page(to) }})
		}
	}
	return all
}

// search gives the members' search list, in which lone pages are found by way of the lobby.
func (l *sealing) search() ([]byte, error) {
	return searchJSON(func(yield func(*Entry) bool) {
		for e := range l.members.eachEntry {
			if name := l.lone[e.Path]; name != "" {
				e.Path = lobbyPath + "?" + name
			}
			if !yield(e) {
				return
			}
		}
	}), nil
}

// file gives a sealed file.
func (l *sealing) file(path, kind string, make func() ([]byte, error)) output {
	return output{l.name(path), func(*bytes.Buffer) ([]byte, error) {
		data, err := make()
		if err != nil {
			return nil, err
		}
		return l.lock.Door.ContentKey().Seal(path, kind, data)
	}}
}

// door tells a page's script where the sealed things are; nil where the edition has none.
func (s *Build) door(root, file string) *DoorView {
	if s.sealing == nil {
		return nil
	}
	v := &DoorView{Ring: root + sealedFolder + "ring.js", Search: root + s.sealing.name(searchPath), Path: file}
	if i := s.byID[strings.TrimSuffix(strings.TrimPrefix(file, "ingredients/"), "/index.html")]; i != nil && ingredientPath(i) == file {
		v.Page = root + s.sealing.name(file)
	}
	return v
}

// mediaType gives the type of a picture by its ending.
func mediaType(file string) string {
	switch strings.ToLower(path.Ext(file)) {
	case ".svg":
		return "image/svg+xml"
	case ".png":
		return "image/png"
	case ".webp":
		return "image/webp"
	case ".gif":
		return "image/gif"
	}
	return "image/jpeg"
}
