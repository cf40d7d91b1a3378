package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
)

// factsCommand tells what is known of a material.
type factsCommand struct {
	Material []string `arg:"" optional:"" help:"The material: its name, another name, or its INCI name."`
	Lot      string   `placeholder:"LOT" help:"Instead of a material: a lot's code, to tell which batches took of it and what was filled from them."`
	In       string   `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out); its ingredient pages come before the catalogue."`
}

// Help gives the long help.
func (factsCommand) Help() string {
	return `Each figure is followed by where it is from. “from memory” means that it was remembered from that source and not looked
up again; “common practice” that it is a habit of the trade. Your own supplier's sheet always comes first.

Examples:
  stillroom facts shea butter
  stillroom facts "Butyrospermum Parkii Butter"
  stillroom facts beeswax --in my-handbook
  stillroom facts --lot C-104

Exit code: 0 known; 2 not known, or the name can be several.`
}

// Run prints the facts.
func (c *factsCommand) Run(t *talk) error {
	if (c.Lot == "") == (len(c.Material) == 0) {
		return hint(errors.New("one thing can be asked for: a material, or --lot with a lot's code"), "stillroom facts shea butter; stillroom facts --lot C-104")
	}
	if c.Lot != "" {
		return c.trace(t)
	}
	index, err := c.index()
	if err != nil {
		return err
	}
	name := strings.Join(c.Material, " ")
	switch found := index.Candidates(name); len(found) {
	case 0:
		return hint(fmt.Errorf("nothing is known of “%s”", name), spell.DidYouMean(name, index.Names(), having(name, index)))
	case 1:
		printFacts(t.out, found[0])
		return nil
	default:
		names := make([]string, len(found))
		for i, m := range found {
			names[i] = m.Name
		}
		return hint(fmt.Errorf("“%s” can be several materials", name), "name one of these: "+strings.Join(names, "; "))
	}
}

// mostNames is how many names a hint offers.
const mostNames = 8

// having says what to try for a name that nothing has: the materials with a name whose words begin with its own.
func having(name string, index *material.Index) string {
	var all []string
	for _, n := range index.Names() {
		words := strings.Fields(strings.ToLower(n))
		lacks := func(word string) bool {
			return !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, word) })
		}
		if slices.ContainsFunc(strings.Fields(strings.ToLower(name)), lacks) {
			continue
		}
		for _, m := range index.Candidates(n) {
			all = appendNew(all, "“"+m.Name+"”")
		}
	}
	if all == nil {
		return "try another name, or its INCI name"
	}
	return "name one of these: " + firstOf(all, mostNames)
}

// index gives the materials of the handbook and the catalogue; outside a handbook, the catalogue's alone.
func (c *factsCommand) index() (*material.Index, error) {
	if _, err := os.Stat(filepath.Join(c.In, "handbook.yaml")); errors.Is(err, os.ErrNotExist) && c.In == "content" {
		return material.NewIndex(nil).Over(material.Common()), nil
	}
	root, err := openFolder(c.In)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	h, _ := handbook.Load(root.FS())
	return h.Materials, nil
}

// printFacts writes a material's names, facts, usage rates and cautions.
func printFacts(w io.Writer, m *material.Material) {
	fmt.Fprintln(w, m.Name)
	if len(m.Also) > 0 {
		fmt.Fprintf(w, "  also called %s\n", strings.Join(m.Also, ", "))
	}
	facts := []site.Fact{{Name: "For", Value: strings.Join(m.Roles, ", ")}}
	facts = append(facts, site.MaterialFacts(m)...)
	for _, u := range site.MaterialUses(m) {
		facts = append(facts, site.Fact{Name: "Use, " + u.For, Value: useText(u), Source: u.Source})
	}
	width := 0
	for _, f := range facts {
		width = max(width, utf8.RuneCountInString(f.Name))
	}
	for _, f := range facts {
		line := "  " + f.Name + strings.Repeat(" ", width-utf8.RuneCountInString(f.Name)) + "  " + f.Value
		if f.Source != "" {
			line += "  [" + f.Source + "]"
		}
		fmt.Fprintln(w, line)
	}
	for _, caution := range m.Cautions {
		fmt.Fprintf(w, "  ! %s\n", caution)
	}
}

// useText writes a usage rate: "0.5–2 %", "up to 2 %", "from 1 %".
func useText(u site.UseView) string {
	switch {
	case u.From == "":
		return "up to " + u.To
	case u.To == "":
		return "from " + u.From
	}
	return strings.TrimSuffix(u.From, " %") + "–" + u.To
}
