package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/internal/spell"
)

// openFolder opens a handbook's folder; nothing outside it can be read through it.
func openFolder(dir string) (*os.Root, error) {
	root, err := os.OpenRoot(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, hint(fmt.Errorf("there is no folder %s", dir), "name the handbook's folder, or start one with: stillroom begin "+dir)
	}
	return root, err
}

// openBook reads the handbook in a folder and works it out. The root stays open for its pictures.
func openBook(dir string) (*site.Book, *os.Root, *problem.List, error) {
	root, err := openFolder(dir)
	if err != nil {
		return nil, nil, nil, err
	}
	h, problems := handbook.Load(root.FS())
	return site.Prepare(h, problems), root, problems, nil
}

// findRecipe finds a recipe by its address, its title, or its file.
func findRecipe(b *site.Book, dir, name string) (*handbook.Recipe, error) {
	file := strings.TrimPrefix(filepath.ToSlash(filepath.Clean(name)), filepath.ToSlash(filepath.Clean(dir))+"/")
	var known []string
	for _, r := range b.Recipes {
		if r.Slug == name || material.Key(r.Title) == material.Key(name) || r.File == file {
			return r, nil
		}
		known = append(known, r.Slug)
	}
	return nil, hint(fmt.Errorf("there is no recipe “%s” in %s", name, dir), spell.DidYouMean(name, known, "the recipes are: "+strings.Join(known, ", ")))
}
