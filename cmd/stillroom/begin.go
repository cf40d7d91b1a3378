package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"go.yaml.in/yaml/v4"
)

// startFiles is a small handbook to start from: it is complete, builds without a finding, and explains itself.
//
//go:embed all:start
var startFiles embed.FS

// titleMark stands in the start files where the handbook's title goes.
const titleMark = "HANDBOOK-TITLE"

// beginCommand starts a new handbook.
type beginCommand struct {
	Dir   string `arg:"" placeholder:"DIR" help:"The folder to make it in."`
	Title string `default:"My stillroom" placeholder:"TEXT" help:"The handbook's title."`
}

// Help gives the long help.
func (beginCommand) Help() string {
	return `The new handbook has one recipe, its ingredients and a note, ready to be built and changed. Nothing that is there already
is overwritten.

Examples:
  stillroom begin content
  stillroom begin my-handbook --title "The kitchen-table formulary"

Exit code: 0 made; 2 a file is there already, and nothing was written.`
}

// Run writes the start files.
func (c *beginCommand) Run(t *talk) error {
	title, err := yamlText(c.Title)
	if err != nil {
		return err
	}
	files := map[string][]byte{}
	var names []string
	start, err := fs.Sub(startFiles, "start")
	if err != nil {
		return err
	}
	err = fs.WalkDir(start, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(start, name)
		files[name] = bytes.ReplaceAll(raw, []byte(titleMark), []byte(title))
		names = append(names, name)
		return err
	})
	if err != nil {
		return err
	}
	if err := newFiles(c.Dir, names, files); err != nil {
		return err
	}
	t.say("%s: a handbook with %s", c.Dir, counted(len(names), "file"))
	t.say("  next: stillroom publish %s, then open public/index.html", c.Dir)
	return nil
}

// newFiles writes files into a folder, or none where one of them is there already.
func newFiles(dir string, names []string, files map[string][]byte) error {
	var errs []error
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, filepath.FromSlash(name))); err == nil {
			errs = append(errs, fmt.Errorf("%s is there already", filepath.Join(dir, filepath.FromSlash(name))))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return hint(err, "nothing was written; choose another name or folder")
	}
	for _, name := range names {
		to := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := writeNew(to, files[name]); err != nil {
			return err
		}
	}
	return nil
}

// writeNew writes a file that must not be there yet.
func writeNew(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// yamlText writes words as a YAML value on one line, with quotes where they need them.
func yamlText(words string) (string, error) {
	words = strings.Join(strings.Fields(words), " ")
	if words == "" {
		return "", errors.New("the title is empty")
	}
	raw, err := yaml.Marshal(words)
	return strings.TrimSpace(string(raw)), err
}
