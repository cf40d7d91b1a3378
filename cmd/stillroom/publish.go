package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// publishCommand builds an edition of a handbook.
type publishCommand struct {
	Dir     string `arg:"" optional:"" default:"content" placeholder:"DIR" help:"The handbook's folder."`
	To      string `placeholder:"FOLDER" help:"Where to build. For the open edition: public, if left out."`
	Edition string `default:"open" placeholder:"NAME" help:"Who it is for: open (everyone), members, or maker (with suppliers and prices)."`
	Theme   string `placeholder:"FOLDER" help:"A folder whose files replace those of the same name in the default theme."`
}

// Help gives the long help.
func (publishCommand) Help() string {
	return `Only files whose content changed are written, each whole or not at all. Files in the folder that this
tool did not write are never touched. A recipe with a finding at level “stop” that is not accepted is held back.

Examples:
  stillroom publish                              content/ into public/
  stillroom publish my-handbook --to site        another handbook, another folder
  stillroom publish --edition maker --to mine    everything, for your own eyes

Exit code: 0 built; 1 built, and a recipe was held back; 2 a problem, and nothing was written.`
}

// Run builds the edition.
func (c *publishCommand) Run(t *talk) error {
	edition, err := site.ParseEdition(c.Edition)
	if err != nil {
		return err
	}
	if err := c.where(edition); err != nil {
		return err
	}
	theme, err := loadTheme(c.Theme)
	if err != nil {
		return err
	}
	book, root, problems, err := openBook(c.Dir)
	if err != nil {
		return err
	}
	defer root.Close()
	if t.problems(problems); t.code != done {
		t.say("nothing was written")
		return nil
	}
	tree, err := site.OpenTree(c.To, edition)
	if err != nil {
		return err
	}
	defer tree.Close()
	build := site.NewBuild(book, edition, theme)
	step, end := t.progress(build.Files())
	tally, err := build.Write(tree, root.ReadFile, step)
	end()
	if err != nil {
		return err
	}
	c.tell(t, book, edition, tally)
	return nil
}

// where settles the output folder: for any but the open edition it must be named, and it never lies in the handbook.
func (c *publishCommand) where(edition site.Edition) error {
	if c.To == "" && edition != site.OpenEdition {
		return hint(fmt.Errorf("the edition for %s needs a folder of its own", edition.Readers()), "name one, such as --to "+string(edition)+"-edition; do not upload it where everyone can read it")
	}
	if c.To == "" {
		c.To = "public"
	}
	from, err1 := realPath(c.Dir)
	to, err2 := realPath(c.To)
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	if rel, err := filepath.Rel(from, to); err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		return hint(fmt.Errorf("the output folder %s lies in the handbook's own folder %s", c.To, c.Dir), "choose a folder outside it with --to")
	}
	return nil
}

// realPath gives a file's whole path with every symbolic link followed; what is not there yet is taken as it is written.
func realPath(name string) (string, error) {
	whole, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	followed, err := filepath.EvalSymlinks(whole)
	if parent := filepath.Dir(whole); errors.Is(err, fs.ErrNotExist) && parent != whole {
		followed, err = realPath(parent)
		return filepath.Join(followed, filepath.Base(whole)), err
	}
	return followed, err
}

// loadTheme gives the default theme with a maker's own files laid over it.
func loadTheme(dir string) (*site.Theme, error) {
	var own fs.FS
	if dir != "" {
		root, err := os.OpenRoot(dir)
		if err != nil {
			return nil, fmt.Errorf("open the theme: %w", err)
		}
		defer root.Close()
		own = root.FS()
	}
	return site.LoadTheme(linen.FS, own)
}

// tell says what was built, what was held back and what was left alone.
func (c *publishCommand) tell(t *talk, book *site.Book, edition site.Edition, tally site.Tally) {
	for _, h := range book.HeldBack(edition) {
		t.say("%s: held back from publishing", h.Recipe.File)
		t.findings(t.err, h.Stops)
		t.code = held
	}
	for _, file := range tally.Left {
		t.say("%s/%s: left alone, since it was changed after it was built and is no longer part of the handbook", c.To, file)
	}
	if n := book.LeftOut(edition); n > 0 {
		t.say("%s not in this edition, which is for %s", counted(n, "page"), edition.Readers())
	}
	t.say("%s: %s, %d written, %d removed", c.To, counted(tally.Files, "file"), tally.Changed, tally.Removed)
}
