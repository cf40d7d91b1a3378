package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// publishCommand builds an edition of a handbook.
type publishCommand struct {
	Dir       string `arg:"" optional:"" default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	To        string `placeholder:"FOLDER" help:"Where to build. For the open edition: public, if left out."`
	MembersTo string `placeholder:"FOLDER" help:"With door: folder, where the members' edition is built: the open one's folder with “-members”, if left out."`
	Edition   string `default:"open" placeholder:"NAME" help:"Who it is for: open (everyone), members, or maker (with suppliers and prices). If left out: open."`
	Theme     string `placeholder:"FOLDER" help:"A folder whose files replace those of the same name in the default theme."`
	Afresh    bool   `help:"Make every file anew, whatever the last run remembers."`
}

// Help gives the long help.
func (publishCommand) Help() string {
	return `Only files whose content changed are written, each whole or not at all. Files in the folder that this
tool did not write are never touched. A recipe with a finding at level “stop” that is not accepted is held back.

Examples:
  stillroom publish                              content/ into public/
  stillroom publish my-handbook --to site        another handbook, another folder
  stillroom publish --edition maker --to mine    everything, for your own eyes

Exit code: 0 built; 1 built, and a recipe was held back; 2 a problem or Ctrl-C, and nothing was written.`
}

// Run builds the edition, and with the open one the members' edition behind its door.
func (c *publishCommand) Run(t *talk) error {
	edition, err := site.ParseEdition(c.Edition)
	if err != nil {
		return err
	}
	if err := c.where(edition); err != nil {
		return err
	}
	var memory *site.Memory
	var memoryFile string
	var recalling sync.WaitGroup
	recalling.Go(func() { memory, memoryFile = c.recall() })
	theme, err := loadTheme(c.Theme)
	recalling.Wait()
	if err != nil {
		return err
	}
	root, err := openFolder(c.Dir)
	if err != nil {
		return err
	}
	defer root.Close()
	book, problems := site.Skim(root.FS(), memory, edition)
	theme.CheckLanguage(book.Handbook, problems)
	build := func(e site.Edition) *site.Build { return site.NewBuild(book, e, theme) }
	var door *members.List
	if edition == site.OpenEdition {
		door = readDoor(book, root, c.Dir, problems)
	}
	if t.problems(problems); t.code != done {
		t.say("nothing was written")
		return nil
	}
	all := []*outlet{{build: build(edition), edition: edition, to: c.To, door: door}}
	if door != nil {
		lock, err := lockOf(door)
		if err != nil {
			return err
		}
		all[0].build.Seal(lock, root.ReadFile)
	}
	if edition == site.OpenEdition && book.Door.Kind == handbook.FolderDoor {
		if err := c.membersWhere(); err != nil {
			return err
		}
		all = append(all, &outlet{build: build(site.MembersEdition), edition: site.MembersEdition, to: c.MembersTo})
	} else if c.MembersTo != "" {
		return hint(errors.New("--members-to is for the open edition of a handbook with door: folder"), "leave it out; another edition goes where --to says")
	}
	news, err := c.write(t, all, root, memory)
	if err != nil || memoryFile == "" {
		return err
	}
	if !memory.Keep(book) && !news {
		return nil
	}
	if err := memory.Save(memoryFile); err != nil {
		t.say("the next run will make every file anew, since what this one knows could not be kept: %v", err)
	}
	return nil
}

// recall gives what the last run left, and the file for what this one leaves; no file where the system has no folder for it.
func (c *publishCommand) recall() (*site.Memory, string) {
	file, err := site.MemoryFile(c.Dir)
	if err != nil {
		return &site.Memory{}, ""
	}
	if c.Afresh {
		return &site.Memory{}, file
	}
	return site.ReadMemory(file), file
}

// An outlet is an edition and the folder that it goes to.
type outlet struct {
	build   *site.Build
	edition site.Edition
	to      string
	door    *members.List // who can open what is sealed in it; nil where nothing is
	tree    *site.Tree
	files   int // that it has
}

// lockOf gives what the members' pages are sealed with.
func lockOf(list *members.List) (site.Lock, error) {
	door, _ := list.Door()
	ring, err := list.Ring()
	return site.Lock{Door: door, Ring: ring}, err
}

// write writes the editions into their folders and tells of them. It begins when nothing stands in the way of any.
func (c *publishCommand) write(t *talk, all []*outlet, root *os.Root, memory *site.Memory) (news bool, err error) {
	for _, o := range all {
		if err := o.build.TryPictures(root.ReadFile); err != nil {
			return false, fmt.Errorf("%w; nothing was written", err)
		}
	}
	ctx, stop := untilInterrupted()
	defer stop()
	for _, o := range all {
		tree, err := openTree(ctx, t, o.to, o.edition)
		if err != nil {
			return false, orInterrupted(err, all)
		}
		defer tree.Close()
		paths := o.build.Paths()
		if err := tree.Claim(paths); err != nil {
			return false, err
		}
		o.tree, o.files = tree, len(paths)
	}
	for i, o := range all {
		step, end := t.progress(o.files)
		tally, err := o.build.Write(ctx, o.tree, memory, root.ReadFile, step)
		end()
		if err != nil {
			return false, orInterrupted(err, all[i:])
		}
		news = memory.KeepOutlet(o.build, o.tree) || news
		c.tell(t, o, tally)
	}
	return news, nil
}

// orInterrupted says, of a run that was interrupted, which folders are as they were.
func orInterrupted(err error, left []*outlet) error {
	if !errors.Is(err, context.Canceled) {
		return err
	}
	var folders []string
	for _, o := range left {
		folders = append(folders, o.to)
	}
	return fmt.Errorf("interrupted; everything in %s is as it was", strings.Join(folders, " and "))
}

// where settles the output folder: for any but the open edition it must be named, and it never lies in the handbook.
func (c *publishCommand) where(edition site.Edition) error {
	if c.To == "" && edition != site.OpenEdition {
		return hint(fmt.Errorf("the edition for %s needs a folder of its own", edition.Readers()), "name one, such as --to "+string(edition)+"-edition; do not upload it where everyone can read it")
	}
	if c.To == "" {
		c.To = "public"
	}
	return c.outside(c.To, "--to")
}

// membersWhere settles the folder of the members' edition: it is neither in the handbook nor in the folder for everyone, nor is that in it.
func (c *publishCommand) membersWhere() error {
	c.MembersTo = cmp.Or(c.MembersTo, filepath.Clean(c.To)+"-members")
	if err := c.outside(c.MembersTo, "--members-to"); err != nil {
		return err
	}
	in, err1 := liesIn(c.MembersTo, c.To)
	around, err2 := liesIn(c.To, c.MembersTo)
	if err := errors.Join(err1, err2); err != nil || !in && !around {
		return err
	}
	return hint(fmt.Errorf("the folder for members, %s, and the one for everyone, %s, lie within one another", c.MembersTo, c.To),
		"choose two side by side with --to and --members-to, so that neither is uploaded with the other")
}

// outside refuses an output folder in the handbook's own.
func (c *publishCommand) outside(to, flag string) error {
	in, err := liesIn(to, c.Dir)
	if err == nil && in {
		err = hint(fmt.Errorf("the output folder %s lies in the handbook's own folder %s", to, c.Dir), "choose a folder outside it with "+flag)
	}
	return err
}

// liesIn says whether a folder is another one or lies in it, wherever symbolic links lead.
func liesIn(folder, other string) (bool, error) {
	inner, err1 := realPath(folder)
	outer, err2 := realPath(other)
	if err := errors.Join(err1, err2); err != nil {
		return false, err
	}
	rel, err := filepath.Rel(outer, inner)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)), nil
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

// untold gives the held-back recipes that are not told already: those of the members' edition were, with the open one.
func (c *publishCommand) untold(build *site.Build, edition site.Edition) []site.Held {
	if string(edition) != c.Edition {
		return nil
	}
	return build.Held()
}

// tell says what was built, what was held back and what was left alone.
func (c *publishCommand) tell(t *talk, o *outlet, tally site.Tally) {
	for _, h := range c.untold(o.build, o.edition) {
		t.say("%s: held back from publishing", h.Recipe.File)
		t.findings(t.err, h.Stops)
		t.code = held
	}
	for _, file := range tally.Left {
		t.say("%s/%s: left alone, since it was changed after it was built and is no longer part of the handbook", o.to, file)
	}
	if out := o.build.LeftOut(); len(out) > 0 {
		t.say("%s not in this edition, which is for %s: %s", counted(len(out), "page"), o.edition.Readers(), firstOf(out, namedHere))
	}
	c.tellTelling(t, o)
	if o.door != nil {
		t.say("%s sealed for %s", counted(o.build.Teasers(), "members' page"), counted(len(o.door.Members()), "member"))
	}
	t.say("%s: %s, %d written, %d removed", o.to, counted(tally.Files, "file"), tally.Changed, tally.Removed)
	if o.edition == site.MembersEdition {
		t.say("  The pages in %s are not locked: put them where only members can read them, behind a login of the host.", o.to)
	}
}

// namedHere is how many pages are named in one line.
const namedHere = 3

// tellTelling tells of pages for everyone whose names tell what members' recipes are made of.
func (c *publishCommand) tellTelling(t *talk, o *outlet) {
	if o.edition != site.OpenEdition {
		return
	}
	all := o.build.OnlyForMembers()
	if len(all) == 0 {
		return
	}
	var names []string
	for _, i := range all {
		names = append(names, i.Title)
	}
	verb := "are"
	if len(all) == 1 {
		verb = "is"
	}
	t.say("%s that everyone can read %s used by members' recipes only: %s", counted(len(all), "ingredient page"), verb, firstOf(names, namedHere))
	teasers := ""
	if o.build.Door.Kind != "" {
		teasers = " (their titles stay visible, as teasers)"
	}
	t.say("  what to do: nothing; or give them access: members if they tell too much%s", teasers)
}
