package site

import "larkrow.example/stillroom/internal/handbook"

// frame gives what a page has around its content.
func (s *Build) frame(kind, file, title, description string, trail ...Link) Frame {
	f := Frame{
		Lang: s.words.Code(), Dir: s.words.Direction(), Title: title, Description: description, Kind: kind, Root: rootOf(file), Edition: string(s.edition),
		Handbook: Handbook{Title: s.Title, Maker: s.Maker, About: s.About}, Assets: s.assets,
	}
	f.Menu, f.Door = s.menu(f.Root, file), s.door(f.Root, file)
	f.Manifest = f.Root + manifestPath
	if s.feeds {
		f.Feed = f.Root + feedPath
	}
	for _, l := range trail {
		f.Trail = append(f.Trail, Link{Text: l.Text, Href: f.Root + l.Href})
	}
	if s.Address != "" {
		f.Canonical = s.Address + file
		if file == homePath {
			f.Canonical = s.Address
		}
	}
	f.standing = s.standingOf(&f, file)
	f.Image, f.Things = s.emblem(), s.things(&f, file, trail)
	return f
}

// menu gives the handbook's main parts.
func (s *Build) menu(root, file string) []Link {
	menu := []Link{{Text: s.words.Say("menu.recipes"), Href: root + homePath, Current: file == homePath}}
	if len(s.listed) > 0 {
		menu = append(menu, Link{Text: s.words.Say("menu.ingredients"), Href: root + ingredientsPath, Current: file == ingredientsPath})
	}
	if len(s.noted) > 0 {
		menu = append(menu, Link{Text: s.words.Say("menu.notes"), Href: root + notesPath, Current: file == notesPath})
	}
	if s.hasFinder() {
		menu = append(menu, Link{Text: s.words.Say("menu.find"), Href: root + findPath, Current: file == findPath})
	}
	return append(menu, s.recordMenu(root, file)...)
}

// picture gives a page's picture for a page at root, or nil.
func (s *Build) picture(p *handbook.Page, root string) *Picture {
	if p.Picture == nil {
		return nil
	}
	return &Picture{Href: root + urlPath(s.pictures[p.Picture.File]), Shows: p.Picture.Shows, Width: p.Picture.Width, Height: p.Picture.Height}
}

// access gives a page's access where readers should see it.
func access(p *handbook.Page) string {
	if p.Access == handbook.Open {
		return ""
	}
	return string(p.Access)
}

// fact appends a fact where it has a value.
func fact(facts []Fact, name, value, source string) []Fact {
	if value == "" {
		return facts
	}
	return append(facts, Fact{Name: name, Value: value, Source: source})
}
