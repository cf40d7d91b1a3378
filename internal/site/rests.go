package site

import (
	"fmt"

	"larkrow.example/stillroom/internal/handbook"
)

// What a file rests on is everything that its bytes are made by: if that is the same as it was, so are they. It is told coarsely, so that nothing is
// forgotten: all files rest on the program, the theme, handbook.yaml, all ingredients' pages and the names and sizes of all pictures; those of a recipe on its own text and on what
// the edition answers to its links; those of an ingredient on the recipes that take it; all others on all pages.

// restsOfAll gives what every page rests on.
func (s *Build) restsOfAll() Sum { return s.once("*", s.sumOfAll) }

func (s *Build) sumOfAll() Sum {
	d := newBasis()
	p, rules, theme := program(), s.Rules(), s.theme.Sum()
	d.Write(p[:])
	d.Write(rules[:])
	d.Write(theme[:])
	d.add(string(s.edition), fmt.Sprint(s.feeds))
	for _, l := range s.menu("", "") {
		d.add(l.Text, l.Href)
	}
	if s.sealing != nil {
		d.add("sealed", s.sealing.lock.Door.Name("rests"))
	}
	return d.sum()
}

// once gives a sum that is added up when it is first asked for.
func (s *Build) once(path string, sum func() Sum) Sum {
	if known, ok := s.sums.Load(path); ok {
		return known.(Sum)
	}
	made := sum()
	s.sums.Store(path, made)
	return made
}

// restsOf gives what the files of a recipe rest on that was put away.
func (s *Build) restsOf(r *handbook.Recipe) Sum {
	return s.once(recipePath(r), func() Sum { return s.sumOf(r) })
}

func (s *Build) sumOf(r *handbook.Recipe) Sum {
	d, all, g := newBasis(), s.restsOfAll(), s.gistOf(r)
	d.Write(all[:])
	d.Write(r.Header().Sum[:])
	answers := &resolver{build: s, page: &r.Page}
	for _, name := range g.Links {
		d.add(answers.Link(name))
	}
	for _, record := range s.recordsOf[r.File] {
		d.add(record.File, record.Source.Text)
	}
	return d.sum()
}

// restsOfIngredient gives what an ingredient's page rests on: beside its own text, which all pages rest on, which recipes take it. In the maker's
// edition it tells of batches, too.
func (s *Build) restsOfIngredient(i *handbook.Ingredient) Sum {
	return s.once(ingredientPath(i), func() Sum { return s.sumOfIngredient(i) })
}

func (s *Build) sumOfIngredient(i *handbook.Ingredient) Sum {
	if s.edition == MakerEdition {
		return s.restsOfBook()
	}
	d, all := newBasis(), s.restsOfAll()
	d.Write(all[:])
	d.add(ingredientPath(i), i.Title)
	for _, u := range s.usesAll()[i.Material.ID] {
		if s.has(&u.recipe.Page) {
			d.add(u.recipe.File, u.recipe.Title, u.version.Name, string(u.version.Kind), u.percent)
		}
	}
	if y := s.bodies[&i.Page]; y != nil {
		answers := &resolver{build: s, page: &i.Page}
		for _, l := range y.document.Links {
			d.add(answers.Link(l.Name))
		}
	}
	return d.sum()
}

// restsOfBook gives what the pages rest on that are not a recipe's. That leaves out the bytes of pictures, which are always read.
func (s *Build) restsOfBook() Sum { return s.once("", s.sumOfBook) }

func (s *Build) sumOfBook() Sum {
	d, all := newBasis(), s.restsOfAll()
	d.Write(all[:])
	for _, r := range s.Book.Recipes {
		d.add(r.File, fmt.Sprint(s.held[r.File]))
		if e := r.Header(); e != nil {
			d.Write(e.Sum[:])
		} else {
			d.add(r.Source.Text)
		}
	}
	for _, n := range s.Notes {
		d.add(n.File, n.Source.Text)
	}
	for _, r := range s.Records {
		d.add(r.File, r.Source.Text)
	}
	return d.sum()
}
