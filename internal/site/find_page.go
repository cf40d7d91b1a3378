package site

// A FindView is the page that finds recipes by what they are, what they are made without and what is at hand. The list that it searches
// is search.json; Shelves and Ingredients lead on where no script runs.
type FindView struct {
	Frame
	Shelves     []Link
	Ingredients string // address of the directory, "" where there is none
}

// hasFinder says whether the edition has recipes to be found.
func (s *Build) hasFinder() bool { return len(s.shelves()) > 0 }

func (s *Build) findPage() (any, error) {
	v := &FindView{Frame: s.frame("find", findPath, s.words.Say("menu.find"), "", Link{Text: s.Title, Href: homePath})}
	for _, p := range s.shelves() {
		v.Shelves = append(v.Shelves, Link{Text: p.name, Href: v.Root + shelfPath(p.name)})
	}
	if len(s.listed) > 0 {
		v.Ingredients = v.Root + ingredientsPath
	}
	return v, nil
}
