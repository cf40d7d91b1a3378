package main

import (
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"text/template"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/spell"
)

// addCommand adds a page to a handbook.
type addCommand struct {
	Kind    string `arg:"" enum:"recipe,ingredient,note" help:"What to add: recipe, ingredient or note."`
	Title   string `arg:"" help:"Its title or name."`
	In      string `default:"content" placeholder:"DIR" help:"The handbook's folder."`
	Product string `default:"balm" placeholder:"TYPE" help:"For a recipe: what kind of product it is, such as hand cream."`
	Shelf   string `placeholder:"NAME" help:"For a recipe: its shelf. If left out: the handbook's first."`
}

// Help gives the long help.
func (addCommand) Help() string {
	return `The page's file is named after its title. A page that is there already is not overwritten.

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
	page := map[string]string{"Title": title}
	if c.Kind == "recipe" {
		if page["Product"], page["Shelf"], err = c.place(h); err != nil {
			return err
		}
	}
	file := path.Join(c.Kind+"s", handbook.Slug(c.Title)+".md")
	var text strings.Builder
	if err := pageTemplates.ExecuteTemplate(&text, c.Kind, page); err != nil {
		return err
	}
	if err := newFiles(c.In, []string{file}, map[string][]byte{file: []byte(text.String())}); err != nil {
		return err
	}
	t.say("%s", filepath.Join(c.In, filepath.FromSlash(file)))
	return nil
}

// place gives a recipe's product type and shelf.
func (c *addCommand) place(h *handbook.Handbook) (product, shelf string, err error) {
	p, ok := law.FindProduct(c.Product)
	if !ok {
		return "", "", hint(fmt.Errorf("the product type “%s” is not known", c.Product), law.SuggestProduct(c.Product))
	}
	var names []string
	for _, s := range h.Shelves {
		if c.Shelf == "" || strings.EqualFold(s.Name, c.Shelf) {
			shelf, err = yamlText(s.Name)
			return p.Name, shelf, err
		}
		names = append(names, s.Name)
	}
	if len(names) == 0 {
		return "", "", hint(errors.New("the handbook has no shelf to put the recipe on"), "add one under shelves: in handbook.yaml")
	}
	return "", "", hint(fmt.Errorf("there is no shelf “%s”", c.Shelf), spell.DidYouMean(c.Shelf, names, "the shelves are: "+strings.Join(names, ", ")))
}

// pageTemplates has a new page of each kind. A new recipe is whole: it can be weighed at once and changed line by line.
var pageTemplates = template.Must(template.New("").Parse(`
{{- define "recipe" -}}
---
title: {{.Title}}
product: {{.Product}}
shelf: {{.Shelf}}
access: maker                 # yours alone until it is ready: then open or members
summary: One sentence on what it is and whom it is for.
formula:
  - phase: Melt
    heat: 75 °C
    weigh:
      Olive oil: q.s.         # what the others leave of 100 %
      Beeswax: 20 %
  - phase: Cool-down
    below: 60 °C
    weigh:
      Vitamin E oil: 0.5 %
batches: [200 g]
fill: {container: 60 ml tin, takes: 52 g, loss: 3 %}
---
1. Melt :amount[Beeswax] of beeswax in :amount[Olive oil] of olive oil at :temp[75 °C].
2. Below :temp[60 °C] stir in :amount[Vitamin E oil] of vitamin E, and pour.

::: caution
Hot wax burns. Keep children and animals away, and never leave it on the heat alone.
:::
{{end}}
{{- define "ingredient" -}}
---
name: {{.Title}}
# role: oil                   # what it is for: water, humectant, oil, butter, wax, emulsifier, preservative, fragrance …
# inci: {INCI name: 100 %}
# density: 0.92 g/ml          # needed where a recipe measures it by volume
# cautions: [Keep away from eyes.]
---
What it is, how it behaves, and how to keep it.
{{end}}
{{- define "note" -}}
---
title: {{.Title}}
summary: One sentence on what this tells.
---
Write here.
{{end}}`))
