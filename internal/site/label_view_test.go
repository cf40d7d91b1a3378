package site

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/law"
)

// The label copy of two recipes of the demonstration, with every percent and the rule that places it.
func TestLabelCopyGolden(t *testing.T) {
	b := bookIn(t, os.DirFS("../../content"))
	var out strings.Builder
	for _, r := range b.Recipes {
		if r.Slug != "hedgerow-hand-cream" && r.Slug != "larkrow-bar" {
			continue
		}
		s := labelSubject(b.Worked(r)[0].Subject)
		for _, made := range []bool{false, true} {
			if s.AsMade = made; made && r.Slug != "larkrow-bar" {
				continue
			}
			for _, c := range label.For(s) {
				fmt.Fprintf(&out, "== %s, %s, as made: %t\n", r.Title, c.Market, made)
				writeCopy(&out, c)
			}
		}
	}
	golden.Equal(t, "testdata/labels.txt", out.String())
}

func writeCopy(out *strings.Builder, c label.Copy) {
	fmt.Fprintf(out, "%s: %s\n", c.Ingredients.Heading, c.Ingredients)
	for _, e := range c.Ingredients.Entries {
		fmt.Fprintf(out, "  %s: %s %%, within others %s %%, %s %q\n", e.Name, e.Percent.Text(6), e.Within.Text(6), e.Place.ID, e.Flags)
	}
	for _, n := range c.Contents {
		fmt.Fprintf(out, "content of %s: %s %q\n", n.Container, n.Text, n.Notes)
	}
	for _, l := range c.Warnings {
		fmt.Fprintf(out, "warning: %s (%s) %s\n", l.Text, l.When, l.Basis.ID)
	}
	for _, l := range c.Lines {
		fmt.Fprintf(out, "line: %s (%s) %s\n", l.Text, l.When, l.Basis.ID)
	}
	for _, b := range c.SmallPrint {
		fmt.Fprintf(out, "rule: %s, %s, %s\n", b.ID, b.Citation, b.Status)
	}
	for _, d := range c.Doubts {
		fmt.Fprintf(out, "doubt: %s\n", d)
	}
}

func TestRecipePageShowsLabelCopy(t *testing.T) {
	theme := defaultTheme(t)
	copies := []LabelView{
		{
			Market: "EU", Heading: "Ingredients", Ingredients: "Aqua, <Parfum>", Notes: []string{"A & B: name of the soap from memory."},
			Contents: []LabelLine{{Text: "96 g", When: "jar", Rule: "Art. 19(1)(b)"}},
			Warnings: []LabelLine{{Text: "Avoid contact with eyes"}},
		},
		{Market: "US", Heading: "Ingredients", Ingredients: "Water, Fragrance", Lines: []LabelLine{{Text: "Hand cream", Rule: "21 CFR 701.11, from memory"}}},
	}
	view := &RecipeView{
		Frame:      Frame{Assets: theme.assetPaths()},
		Versions:   []VersionView{{ID: "v1", Name: "As written", Labels: copies}, {ID: "v2", Name: "Night"}},
		LabelRules: drawRules([]label.Copy{{Market: label.EU, SmallPrint: []label.Basis{{ID: "eu-x", Citation: "Art. <1>", Words: "Tell & show.", Source: "a copy", Status: "read"}}}}),
	}
	page := render(t, theme, "recipe", view)
	checkPage(t, page)
	for _, want := range []string{
		`id="part--label"`, "<b>Ingredients:</b> Aqua, &lt;Parfum&gt;", "Water, Fragrance", "96 g", "jar · Art. 19(1)(b)", "21 CFR 701.11, from memory",
		"A &amp; B: name of the soap from memory.", "<details", "Tell &amp; show.", "Art. &lt;1&gt;. Read in: a copy", "No label copy of this version here",
	} {
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, render(t, theme, "recipe", &RecipeView{Versions: []VersionView{{ID: "v1"}}}), "part--label")
}

// An edition that leaves a material's page out tells nothing on a label that only the page says; what the catalogue says of
// it anyway is told.
func TestLabelCopyKeepsSilent(t *testing.T) {
	source := filesIn(t, "canaries.txtar")
	told := make(map[Edition]int)
	for _, edition := range []Edition{OpenEdition, MembersEdition, MakerEdition} {
		b := bookIn(t, source)
		s := NewBuild(b, edition, defaultTheme(t))
		for _, r := range b.Recipes {
			for _, w := range b.Worked(r) {
				if s.tellsLabel(w) {
					told[edition]++
				}
			}
		}
	}
	assert.Less(t, told[OpenEdition], told[MakerEdition])
	assert.Less(t, told[MembersEdition], told[MakerEdition])
	assert.LessOrEqual(t, told[OpenEdition], told[MembersEdition])
	assert.Positive(t, told[OpenEdition], "what pages that are shown say is told")
}

// The same version has the same lists on its page and in its file.
func TestLabelOnPageAndInFileAgree(t *testing.T) {
	b := bookIn(t, os.DirFS("../../content"))
	require.NotEmpty(t, b.Recipes)
	for _, r := range b.Recipes {
		views, _ := labels(b.Worked(r), b.copies(r), func(handbook.Worked) bool { return true }, b.ResponsibleIn)
		for i, w := range b.Worked(r) {
			file := readVersionOf(t, w)
			assert.Equal(t, file.Listed, readLists{EU: views[i][0].Ingredients, US: views[i][1].Ingredients}, r.Title)
			assert.NotEmpty(t, file.Listed.EU)
		}
	}
}

// What a finding says is to be named on the label, now or by the next list, is what the label names then.
func TestAllergensOfFindingsAndOfLabelAgree(t *testing.T) {
	b := bookIn(t, os.DirFS("../../content"))
	compared := 0
	for _, r := range b.Recipes {
		for _, w := range b.Worked(r) {
			found := make(map[string]string)
			for _, f := range w.Findings {
				if f.Code == "allergen-to-declare" {
					found[f.Subject] = f.Value
				}
			}
			now := labelSubject(w.Subject)
			then := *now
			then.On = law.Allergens(now.On).Next
			named := make(map[string]string)
			for _, s := range []*label.Subject{now, &then} {
				for _, a := range label.Allergens(s) {
					if a.Declare {
						named[a.Name] = a.Percent.Text(4)
					}
				}
			}
			if found["Vanillin"] == "" { // the finding does not count a certificate's own line on vanillin yet; the label does
				delete(named, "Vanillin")
			}
			compared += len(named)
			assert.Equal(t, named, found, "%s, %s", r.Title, w.Version.Name)
		}
	}
	assert.Positive(t, compared)
}

// In the maker's edition the copy names who is responsible in the market; in the others there is room for the reader's own name.
func TestResponsibleStandsInTheMakersCopy(t *testing.T) {
	b := bookIn(t, os.DirFS("../../content"))
	theme := defaultTheme(t)
	for _, edition := range []Edition{MakerEdition, OpenEdition, MembersEdition} {
		s := NewBuild(b, edition, theme)
		require.NotEmpty(t, b.Responsible)
		r := b.Responsible[0]
		told := 0
		for _, recipe := range s.recipes {
			views, _ := labels(b.Worked(recipe), b.copies(recipe), s.tellsLabel, s.responsible)
			for _, view := range slices.Concat(views...) {
				for _, l := range view.Lines {
					if strings.HasPrefix(l.Rule, "Regulation (EC) No 1223/2009, Art. 19(1)(a)") && !strings.HasPrefix(l.Text, "Made in") {
						told++
						assert.Equal(t, edition == MakerEdition, l.Text == r.Name+", "+r.Address, l.Text)
						assert.Equal(t, edition != MakerEdition, strings.HasPrefix(l.Text, "[Name and address"), l.Text)
					}
				}
			}
		}
		assert.Positive(t, told, "%s", edition)
	}
}

// BenchmarkLabels shows label copy that was worked out before.
func BenchmarkLabels(b *testing.B) {
	eachRecipe(b, func(s *Build, r *handbook.Recipe) { labels(s.Worked(r), s.copies(r), s.tellsLabel, s.responsible) })
}
