package main

import (
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/spell"
)

// addCommand adds a page to a handbook.
type addCommand struct {
	Kind    string `arg:"" enum:"recipe,ingredient,note" help:"What to add: recipe, ingredient or note."`
	Title   string `arg:"" help:"Its title or name."`
	In      string `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	Product string `placeholder:"TYPE" help:"For a recipe: what kind of product it is, such as hand cream. If left out: what its title says, or balm."`
	Shelf   string `placeholder:"NAME" help:"For a recipe: its shelf. If left out: the one that has that product, or whose name fits, or the first."`
}

// Help gives the long help.
func (addCommand) Help() string {
	return `The page's file is named after its title. A page that is there already is not overwritten. A new recipe has a whole formula
for its product, to be changed line by line. A product type that is none is answered with the list of those that there are:

  stillroom add recipe "My first" --product list

Examples:
  stillroom add recipe "Winter hand cream" --product "hand cream" --shelf "Creams & lotions"
  stillroom add ingredient "Rosehip oil"
  stillroom add note "Cleaning the blender"

Exit code: 0 added; 2 a problem, and nothing was written.`
}

// Run writes the page.
func (c *addCommand) Run(t *talk) error {
	title, err := yamlText(c.Title)
	if err != nil {
		return err
	}
	root, err := openFolder(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	h, _ := handbook.Load(root.FS())
	if h.Title == "" {
		return hint(fmt.Errorf("%s is no handbook: it has no handbook.yaml with a title", c.In), "start one with: stillroom begin "+c.In)
	}
	page, shape, picked := map[string]string{"Title": title}, c.Kind, ""
	shelved := ""
	if c.Kind == "recipe" {
		if c.Product == "" {
			c.Product, picked = productOf(c.Title)
		}
		if page["Product"], page["Shelf"], shelved, err = c.place(h); err != nil {
			return err
		}
		shape = shapeOf(page["Product"])
	}
	file := path.Join(c.Kind+"s", handbook.Slug(c.Title)+".md")
	text, err := skeleton(shape, page)
	if err != nil {
		return err
	}
	if err := newFiles(c.In, []string{file}, map[string][]byte{file: text}); err != nil {
		return err
	}
	t.say("%s", filepath.Join(c.In, filepath.FromSlash(file)))
	if picked != "" {
		t.say("product: %s, %s; change it if it is another", c.Product, picked)
	}
	if shelved != "" {
		t.say("shelf: %s, %s; change it if it is another", c.Shelf, shelved)
	}
	if c.Kind == "recipe" && !fits(c.Product) {
		t.say("its formula is a balm's, to show how one is written: put your own in its place")
	}
	return nil
}

// suggestProduct says what an unknown product type may have meant, and what there is.
func suggestProduct(name string) string {
	all, likely := strings.Join(law.ProductNames(), ", "), law.SuggestProduct(name)
	if strings.Contains(likely, all) {
		return likely
	}
	return likely + " The product types are: " + all
}

// place gives a recipe's product type and shelf, and why that one where none was asked for.
func (c *addCommand) place(h *handbook.Handbook) (product, shelf, why string, err error) {
	p, ok := law.FindProduct(c.Product)
	if !ok {
		return "", "", "", hint(fmt.Errorf("the product type “%s” is not known", c.Product), suggestProduct(c.Product))
	}
	if c.Shelf == "" {
		c.Shelf, why = shelfOf(h, p.Name)
	}
	var names []string
	for _, s := range h.Shelves {
		if strings.EqualFold(s.Name, c.Shelf) {
			shelf, err = yamlText(s.Name)
			return p.Name, shelf, why, err
		}
		names = append(names, s.Name)
	}
	if len(names) == 0 {
		return "", "", "", hint(errors.New("the handbook has no shelf to put the recipe on"), "add one under shelves: in handbook.yaml")
	}
	return "", "", "", hint(fmt.Errorf("there is no shelf “%s”", c.Shelf), spell.DidYouMean(c.Shelf, names, "the shelves are: "+strings.Join(names, ", ")))
}

// shelfOf gives the shelf for a product, and how it was found: the one with the most recipes of it, else the first whose name has a word of the
// product's, else the first.
func shelfOf(h *handbook.Handbook, product string) (name, how string) {
	most := 0
	for _, s := range h.Shelves {
		n := 0
		for _, r := range h.Recipes {
			if r.Product.Name == product && r.Shelf == s.Name {
				n++
			}
		}
		if n > most {
			name, how, most = s.Name, "where there is a "+product+" already", n
		}
	}
	for _, word := range slices.Backward(strings.Fields(plain(product))) {
		for _, s := range h.Shelves {
			if name == "" && (hasWords(s.Name, word) || hasWords(s.Name, word+"s")) {
				return s.Name, "by its name"
			}
		}
	}
	if name == "" && len(h.Shelves) > 0 {
		return h.Shelves[0].Name, "the first"
	}
	return name, how
}
