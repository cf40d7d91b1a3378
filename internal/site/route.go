package site

import (
	"strings"

	"larkrow.example/stillroom/internal/handbook"
)

// Every page is a folder with an index.html, and links name that file, so that a handbook opens from a disk as from a server.

const (
	homePath        = "index.html"
	ingredientsPath = "ingredients/index.html"
	notesPath       = "notes/index.html"
	findPath        = "find/index.html"
)

func recipeFolder(r *handbook.Recipe) string { return "recipes/" + r.Slug + "/" }

func recipePath(r *handbook.Recipe) string { return recipeFolder(r) + "index.html" }

func ingredientPath(i *handbook.Ingredient) string { return "ingredients/" + i.Slug + "/index.html" }

func notePath(n *handbook.Note) string { return "notes/" + n.Slug + "/index.html" }

func shelfPath(name string) string { return "shelves/" + handbook.Slug(name) + "/index.html" }

// pathOf gives where a page is written, whatever its kind.
func (s *Build) pathOf(p *handbook.Page) string {
	switch p.Kind {
	case handbook.RecipePage:
		return "recipes/" + p.Slug + "/index.html"
	case handbook.IngredientPage:
		return "ingredients/" + p.Slug + "/index.html"
	}
	if p.Kind == handbook.RecordPage {
		return "batches/" + p.Slug + "/index.html"
	}
	return "notes/" + p.Slug + "/index.html"
}

// rootOf gives the relative address of the top of the output from a page: "./", "../../".
func rootOf(file string) string {
	if n := strings.Count(file, "/"); n > 0 {
		return strings.Repeat("../", n)
	}
	return "./"
}
