package site

import (
	"cmp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/words"
)

// A shelfPages is a shelf with the edition's recipes on it.
type shelfPages struct {
	name, about string
	recipes     []*handbook.Recipe
}

// shelves gives the shelves that have recipes, in the handbook's order.
func (s *Build) shelves() []shelfPages {
	s.shelvesOnce.Do(func() {
		at := make(map[string]int, len(s.Shelves))
		all := make([]shelfPages, len(s.Shelves))
		for i, shelf := range s.Shelves {
			at[shelf.Name], all[i] = i, shelfPages{name: shelf.Name, about: shelf.About}
		}
		for _, r := range s.Book.Recipes {
			if i, known := at[r.Shelf]; known && s.reaches(&r.Page) {
				all[i].recipes = append(all[i].recipes, r)
			}
		}
		s.shelved = slices.DeleteFunc(all, func(p shelfPages) bool { return len(p.recipes) == 0 })
	})
	return s.shelved
}

// byTitle gives the shelf's recipes by title.
func (p shelfPages) byTitle() []*handbook.Recipe {
	keys := make(map[*handbook.Recipe]string, len(p.recipes))
	for _, r := range p.recipes {
		keys[r] = material.Key(r.Title)
	}
	return slices.SortedStableFunc(slices.Values(p.recipes), func(a, b *handbook.Recipe) int { return cmp.Compare(keys[a], keys[b]) })
}

func (s *Build) shelfView(p shelfPages, root string) ShelfView {
	v := ShelfView{Name: p.name, About: p.about, Href: root + shelfPath(p.name)}
	for _, r := range p.byTitle() {
		tag := named(s.words, "product", r.Product.Name)
		if s.teases(&r.Page) {
			tag = ""
		}
		v.Recipes = append(v.Recipes, s.card(&r.Page, tag, root))
	}
	return v
}

func (s *Build) card(p *handbook.Page, tag, root string) Card {
	c := Card{Title: p.Title, Href: root + s.pathOf(p), Summary: p.Summary, Tag: tag, Access: access(p), Picture: s.picture(p, root)}
	if p.Updated != nil && !s.teases(p) {
		c.Updated = p.Updated.Format(time.DateOnly)
	}
	return c
}

func (s *Build) home() (any, error) {
	v := &HomeView{Frame: s.frame("home", homePath, s.Title, s.About), Ingredients: len(s.listed)}
	for _, p := range s.shelves() {
		v.Shelves = append(v.Shelves, s.shelfView(p, v.Root))
	}
	v.Notes = s.noteCards(v.Root)
	return v, nil
}

func (s *Build) shelf(p shelfPages) (any, error) {
	frame := s.frame("shelf", shelfPath(p.name), p.name, p.about, Link{Text: s.Title, Href: homePath})
	v := s.shelfView(p, frame.Root)
	v.Frame = frame
	return &v, nil
}

// missing is the page that a server shows for an address that leads nowhere. It may be shown at any depth, so its links
// need the handbook's own address where there is one.
func (s *Build) missing() (any, error) {
	f := s.frame("missing", "404.html", s.words.Say("missing.title"), "")
	if s.Address != "" {
		f.Root = s.Address
		f.Menu, f.Door = s.menu(f.Root, ""), s.door(f.Root, "404.html")
		f.Manifest = f.Root + manifestPath
		if s.feeds {
			f.Feed = f.Root + feedPath
		}
	}
	f.Canonical, f.standing = "", nil // there is one such page
	return &MissingView{f}, nil
}

// ingredientList is the directory of ingredients, by first letter.
func (s *Build) ingredientList() (any, error) {
	v := &ListView{Frame: s.frame("ingredients", ingredientsPath, s.words.Say("menu.ingredients"), "", Link{Text: s.Title, Href: homePath})}
	sorted := slices.SortedStableFunc(slices.Values(s.listed), func(a, b *handbook.Ingredient) int {
		return cmp.Compare(material.Key(a.Title), material.Key(b.Title))
	})
	for _, i := range sorted {
		letter := initial(i.Title)
		if n := len(v.Groups); n == 0 || v.Groups[n-1].Name != letter {
			v.Groups = append(v.Groups, Group{Name: letter})
		}
		g := &v.Groups[len(v.Groups)-1]
		tag := roleWords(s.words, i.Material.Roles)
		if s.teases(&i.Page) {
			tag = ""
		}
		g.Cards = append(g.Cards, s.card(&i.Page, tag, v.Root))
	}
	return v, nil
}

// initial gives the letter that a name stands under.
func initial(name string) string {
	r, _ := utf8.DecodeRuneInString(strings.ToUpper(handbook.Slug(name)))
	if unicode.IsLetter(r) {
		return string(r)
	}
	return "0–9"
}

// roleWords writes roles as words: "emulsifying wax, thickener".
func roleWords(l *words.Language, roles []string) string {
	var all []string
	for _, r := range roles {
		all = append(all, named(l, "role", r))
	}
	return strings.Join(all, ", ")
}

// noteList is the directory of notes.
func (s *Build) noteList() (any, error) {
	v := &ListView{Frame: s.frame("notes", notesPath, s.words.Say("menu.notes"), "", Link{Text: s.Title, Href: homePath})}
	v.Groups = []Group{{Cards: s.noteCards(v.Root)}}
	return v, nil
}

// noteCards gives a card for every note that the edition has or of which it has a teaser.
func (s *Build) noteCards(root string) []Card {
	var all []Card
	for _, n := range s.noted {
		all = append(all, s.card(&n.Page, "", root))
	}
	return all
}

func (s *Build) note(n *handbook.Note) (any, error) {
	v := &NoteView{
		Frame: s.frame("note", notePath(n), n.Title, n.Summary, Link{Text: s.Title, Href: homePath}, Link{Text: s.words.Say("menu.notes"), Href: notesPath}),
		Name:  n.Title, Summary: n.Summary, Access: access(&n.Page),
	}
	v.Picture, v.Video = s.picture(&n.Page, v.Root), video(&n.Page)
	s.tell(&v.Frame, &n.Page)
	if n.Updated != nil {
		v.Facts = fact(v.Facts, s.words.Say("page.updated"), s.words.Date(*n.Updated), "")
	}
	body, err := s.body(&n.Page, nil)
	v.Body = body
	return v, err
}
