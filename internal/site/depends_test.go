package site

import (
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// webOf gives a small handbook in which each way of depending is found; more files take the place of its own, an empty one takes one away.
func webOf(more map[string]string) fstest.MapFS {
	recipe := func(title, head, weigh, body string) string {
		return "---\ntitle: " + title + "\nproduct: body oil\n" + head + "formula:\n  - phase: All\n    weigh: {" + weigh + "}\n---\n" + body + "\n"
	}
	files := map[string]string{
		"handbook.yaml":         "title: The web\nshelves: [Oils, Balms]\nbatches: [100 g]\n",
		"recipes/elbow-oil.md":  recipe("Elbow oil", "shelf: Oils\npicture: elbow.svg\n", "Hedge oil: 90 %, Castor oil: 10 %", "As [knee oil](trials/knee-oil.md)."),
		"recipes/gate-balm.md":  recipe("Gate balm", "shelf: Balms\naccess: members\n", "Hedge oil: 70 %, Candelilla wax: 30 %", "See [heat](../notes/heat.md)."),
		"ingredients/hedge.md":  "---\nname: Hedge oil\n---\nFor [elbow oil](../recipes/elbow-oil.md). ![A drop](../pictures/drop.svg)\n",
		"ingredients/unused.md": "---\nname: Lodge oil\naccess: maker\n---\nLike [hedge oil](hedge.md).\n",
		"notes/heat.md":         "---\ntitle: Heat\npicture: drop.svg\n---\nSlowly. See [the drop](../pictures/drop.svg) and [weighing](weighing.md).\n",
		"notes/weighing.md":     "---\ntitle: Weighing\n---\nAs [below](#below) and [elsewhere](https://larkrow.example/).\n",
		"pictures/drop.svg":     `<svg viewBox="0 0 3 3"/>`,
		"recipes/elbow.svg":     `<svg viewBox="0 0 4 4"/>`,
		"pictures/spare.svg":    `<svg viewBox="0 0 5 5"/>`,
		"recipes/trials/knee-oil.md": recipe("Knee oil", "shelf: Oils\naccess: maker\n", "Castor oil: 100 %",
			"By itself."),
	}
	for file, text := range more {
		files[file] = text
	}
	fsys := fstest.MapFS{}
	for file, text := range files {
		if text != "" {
			fsys[file] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return fsys
}

// how gives in which way each page depends, by its path.
func how(all []Dependent) map[string]How {
	m := make(map[string]How)
	for _, d := range all {
		m[d.Path] = d.How
	}
	return m
}

// what gives the paths of pages with how they depend, for a table of expectations.
type what map[string]How

// everyWebPage is what depends on handbook.yaml in the maker's edition of the web.
var everyWebPage = what{
	"index.html": FollowIt, "404.html": FollowIt, "find/index.html": FollowIt, "shelves/oils/index.html": FollowIt, "shelves/balms/index.html": FollowIt,
	"recipes/elbow-oil/index.html": FollowIt, "recipes/gate-balm/index.html": FollowIt, "recipes/knee-oil/index.html": FollowIt,
	"ingredients/index.html": FollowIt, "ingredients/hedge/index.html": FollowIt, "ingredients/unused/index.html": FollowIt,
	"ingredients/castor-oil/index.html": FollowIt, "ingredients/candelilla-wax/index.html": FollowIt,
	"notes/index.html": FollowIt, "notes/heat/index.html": FollowIt, "notes/weighing/index.html": FollowIt,
}

func TestDependsOn(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name    string
		edition Edition
		files   []string
		want    what
	}{
		{"a recipe", MakerEdition, []string{"recipes/elbow-oil.md"}, what{
			"recipes/elbow-oil/index.html": Itself, "index.html": Lists, "shelves/oils/index.html": Lists, "find/index.html": Lists,
			"ingredients/hedge/index.html": UsedBy, "ingredients/castor-oil/index.html": UsedBy,
		}},
		{"a recipe in a folder below, to which another links", MakerEdition, []string{"recipes/trials/knee-oil.md"}, what{
			"recipes/knee-oil/index.html": Itself, "index.html": Lists, "shelves/oils/index.html": Lists, "find/index.html": Lists,
			"ingredients/castor-oil/index.html": UsedBy, "recipes/elbow-oil/index.html": LinksTo,
		}},
		{"that folder", MakerEdition, []string{"recipes/trials"}, what{
			"recipes/knee-oil/index.html": Itself, "index.html": Lists, "shelves/oils/index.html": Lists, "find/index.html": Lists,
			"ingredients/castor-oil/index.html": UsedBy, "recipes/elbow-oil/index.html": LinksTo,
		}},
		{"a recipe that the edition does not have", MembersEdition, []string{"recipes/trials/knee-oil.md"}, what{
			"recipes/elbow-oil/index.html": LinksTo,
		}},
		{"a recipe for members, among theirs", MembersEdition, []string{"recipes/gate-balm.md"}, what{
			"recipes/gate-balm/index.html": Itself, "index.html": Lists, "shelves/balms/index.html": Lists, "find/index.html": Lists,
			"ingredients/hedge/index.html": UsedBy, "ingredients/candelilla-wax/index.html": UsedBy,
		}},
		{"a recipe for members, among the open pages", OpenEdition, []string{"recipes/gate-balm.md"}, what{}},
		{"a material", MakerEdition, []string{"ingredients/hedge.md"}, what{
			"ingredients/hedge/index.html": Itself, "ingredients/index.html": Lists, "find/index.html": Lists,
			"recipes/elbow-oil/index.html": Uses, "recipes/gate-balm/index.html": Uses, "ingredients/unused/index.html": LinksTo,
		}},
		{"a material, among the open pages", OpenEdition, []string{"ingredients/hedge.md"}, what{
			"ingredients/hedge/index.html": Itself, "ingredients/index.html": Lists, "find/index.html": Lists, "recipes/elbow-oil/index.html": Uses,
		}},
		{"a material that nothing takes", MakerEdition, []string{"ingredients/unused.md"}, what{
			"ingredients/unused/index.html": Itself, "ingredients/index.html": Lists, "find/index.html": Lists,
		}},
		{"a material of the catalogue has no file", MakerEdition, []string{"ingredients/castor-oil.md"}, what{}},
		{"a note", MakerEdition, []string{"notes/heat.md"}, what{
			"notes/heat/index.html": Itself, "notes/index.html": Lists, "index.html": Lists, "recipes/gate-balm/index.html": LinksTo,
		}},
		{"another note", MakerEdition, []string{"notes/weighing.md"}, what{
			"notes/weighing/index.html": Itself, "notes/index.html": Lists, "index.html": Lists, "notes/heat/index.html": LinksTo,
		}},
		{"a picture above a page, in a body and behind a link", MakerEdition, []string{"pictures/drop.svg"}, what{
			"notes/heat/index.html": ShowsIt, "notes/index.html": Lists, "index.html": Lists, "ingredients/hedge/index.html": ShowsIt,
		}},
		{"a picture beside its page", MakerEdition, []string{"recipes/elbow.svg"}, what{
			"recipes/elbow-oil/index.html": ShowsIt, "index.html": Lists, "shelves/oils/index.html": Lists, "find/index.html": Lists,
		}},
		{"a picture that no page shows", MakerEdition, []string{"pictures/spare.svg"}, what{}},
		{"several files", MakerEdition, []string{"notes/weighing.md", "ingredients/unused.md"}, what{
			"notes/weighing/index.html": Itself, "ingredients/unused/index.html": Itself, "notes/index.html": Lists, "ingredients/index.html": Lists, "find/index.html": Lists,
			"index.html": Lists, "notes/heat/index.html": LinksTo,
		}},
		{"handbook.yaml", MakerEdition, []string{"handbook.yaml"}, everyWebPage},
		{"handbook.yaml and another", MakerEdition, []string{"notes/heat.md", "handbook.yaml"}, everyWebPage},
		{"what is not there", MakerEdition, []string{"notes/none.md", "notes/hea", "readme.txt", ""}, what{}},
		{"nothing", MakerEdition, nil, what{}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			build := NewProof(bookIn(t, webOf(nil)), row.edition, defaultTheme(t))
			all := build.DependsOn(row.files...)
			assert.Equal(t, row.want, what(how(all)))
			assert.Len(t, all, len(row.want), "each once")
			for i, d := range all {
				assert.Contains(t, build.Paths(), d.Path)
				assert.NotEmpty(t, d.Title)
				assert.False(t, d.How == Itself && i > 0 && all[i-1].How != Itself, "those that are written in the files come first")
			}
		})
	}
}

// A dependent tells who may read it.
func TestDependsOnTellsAccess(t *testing.T) {
	t.Parallel()
	build := NewProof(bookIn(t, webOf(nil)), MakerEdition, defaultTheme(t))
	access := make(map[string]handbook.Access)
	for _, d := range build.DependsOn("ingredients/hedge.md") {
		access[d.Title] = d.Access
	}
	assert.Equal(t, map[string]handbook.Access{
		"Hedge oil": handbook.Open, "Elbow oil": handbook.Open, "Gate balm": handbook.Members, "Lodge oil": handbook.Maker, "Ingredients": handbook.Open, "Find": handbook.Open,
	}, access)
}

// What a change altered is told with what it made and took away, also where the changed file does not say what depends on it.
func TestAffected(t *testing.T) {
	t.Parallel()
	page := func(name string) string { return "---\nname: " + name + "\n---\nOurs.\n" }
	for _, row := range []struct {
		name    string
		edition Edition
		more    map[string]string
		files   []string // none: those of more
		want    what
	}{
		{"a note that is new", MakerEdition, map[string]string{"notes/new.md": "---\ntitle: New\n---\nNew.\n"}, nil, what{
			"notes/new/index.html": Itself, "notes/index.html": Lists, "index.html": Lists,
		}},
		{"a material that is gone, and the page that linked to it", MakerEdition, map[string]string{
			"ingredients/unused.md": "",
		}, nil, what{"ingredients/unused/index.html": Itself, "ingredients/index.html": Lists, "find/index.html": Lists, "index.html": Lists}},
		{"a page that takes a name of the catalogue, whose page goes", MakerEdition, map[string]string{
			"ingredients/ours.md": page("Castor oil"),
		}, nil, what{
			"ingredients/ours/index.html": Itself, "ingredients/castor-oil/index.html": UsedBy,
			"recipes/elbow-oil/index.html": Uses, "recipes/knee-oil/index.html": Uses, "ingredients/index.html": Lists, "find/index.html": Lists, "index.html": Lists,
		}},
		{"the same where the new page is for the maker alone", OpenEdition, map[string]string{
			"ingredients/ours.md": "---\naccess: maker\nname: Castor oil\n---\nOurs.\n",
		}, nil, what{
			"ingredients/castor-oil/index.html": UsedBy, "recipes/elbow-oil/index.html": Uses,
			"ingredients/index.html": Lists, "find/index.html": Lists, "index.html": Lists,
		}},
		{"a recipe that becomes open to all", OpenEdition, map[string]string{
			"recipes/trials/knee-oil.md": "---\ntitle: Knee oil\nproduct: body oil\nshelf: Oils\nformula:\n  - phase: All\n    weigh: {Castor oil: 100 %}\n---\nBy itself.\n",
		}, nil, what{
			"recipes/knee-oil/index.html": Itself, "ingredients/castor-oil/index.html": UsedBy, "index.html": Lists, "shelves/oils/index.html": Lists, "find/index.html": Lists,
			"recipes/elbow-oil/index.html": LinksTo,
		}},
		{"the last pages of a shelf and of the notes", MakerEdition, map[string]string{"notes/heat.md": "", "notes/weighing.md": "", "recipes/gate-balm.md": ""}, nil, everyWebPage},
		{"the title of the handbook", MakerEdition, map[string]string{
			"handbook.yaml": "title: A web\nshelves: [Oils, Balms]\nbatches: [100 g]\n",
		}, nil, everyWebPage},
		{"anything", MakerEdition, map[string]string{"notes/weighing.md": "---\ntitle: Weights\n---\nNew.\n"}, []string{"."}, everyWebPage},
		{"nothing", MakerEdition, nil, []string{"notes/none.md"}, what{}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			theme := defaultTheme(t)
			fsys := webOf(nil)
			reader := handbook.NewReader(fsys)
			h, problems := reader.Read(handbook.Everything)
			book := Prepare(h, problems)
			require.Empty(t, problems.All())
			before := NewProof(book, row.edition, theme)
			files := row.files
			for file, text := range row.more {
				delete(fsys, file)
				if text != "" {
					fsys[file] = &fstest.MapFile{Data: []byte(text)}
				}
				if row.files == nil {
					files = append(files, file)
				}
			}
			h, problems = reader.Read(handbook.Everything)
			after := NewProof(book.Renew(h, problems), row.edition, theme)
			all := Affected(before, after, files...)
			assert.Equal(t, row.want, what(how(all)))
			assert.Len(t, all, len(row.want), "each once")
			paths := append(before.Paths(), after.Paths()...)
			for _, d := range all {
				assert.True(t, slices.Contains(paths, d.Path), d.Path)
			}
		})
	}
}
