package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/spell"
)

// membersCommand keeps the list of those who may read the members' pages.
type membersCommand struct {
	Add    membersAddCommand    `cmd:"" help:"Add members, each with an access code that is told once."`
	Remove membersRemoveCommand `cmd:"" help:"Remove members, so that what is published from then on does not open to them."`
	List   membersListCommand   `cmd:"" help:"List the members."`
	Renew  membersRenewCommand  `cmd:"" help:"Make a newer key where the newest door.key or members.yaml is lost."`
}

// A membersDesk is a handbook whose members are being changed.
type membersDesk struct {
	*members.Keeper
	root *os.Root
	book *handbook.Handbook
}

// testOnlyRounds, where not 0, makes the codes of new doors quick to try, which no real door may be.
var testOnlyRounds int

// openMembers opens a handbook and locks its members, with members.Open or members.Renew. Problems in their files are told in full; then the desk is nil.
func openMembers(ctx context.Context, t *talk, dir string, open func(context.Context, *os.Root) (*members.Keeper, error)) (*membersDesk, error) {
	root, book, err := openMembersFolder(dir)
	if err != nil {
		return nil, err
	}
	keeper, err := open(ctx, root)
	if err == nil {
		keeper.Rounds = cmp.Or(testOnlyRounds, keeper.Rounds)
		return &membersDesk{keeper, root, book}, nil
	}
	_ = root.Close()
	if problems, ok := errors.AsType[*problem.List](err); ok {
		t.problems(problems)
		t.say("nothing was changed")
		return nil, nil
	}
	if _, ok := errors.AsType[*members.LockedError](err); ok {
		lock := filepath.Join(dir, members.LockFile)
		err = hint(err, "wait until it is done; if none is running any more, one was stopped half-way: delete "+lock+" and try again")
	}
	return nil, err
}

// openMembersFolder opens a folder that must be a handbook's.
func openMembersFolder(dir string) (*os.Root, *handbook.Handbook, error) {
	root, err := openFolder(dir)
	if err != nil {
		return nil, nil, err
	}
	book, _ := handbook.Load(root.FS())
	if book.Title == "" {
		_ = root.Close()
		return nil, nil, hint(fmt.Errorf("%s is no handbook: it has no handbook.yaml with a title", dir), "start one with: stillroom begin "+dir)
	}
	return root, book, nil
}

// Close lets others at the members.
func (d *membersDesk) Close() error { return errors.Join(d.Keeper.Close(), d.root.Close()) }

// membersRemoveCommand removes members.
type membersRemoveCommand struct {
	Names []string `arg:"" name:"name" help:"Their names, each in quotes."`
	In    string   `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
}

// Help gives the long help.
func (membersRemoveCommand) Help() string {
	return `All members' pages are sealed anew for those who stay; their access codes stay the same. What a member has already read
can be kept.

Examples:
  stillroom members remove "Wren Hollis"

Exit code: 0 removed; 2 a problem, and nobody was removed.`
}

// Run removes the members.
func (c *membersRemoveCommand) Run(t *talk) (err error) {
	ctx, stop := untilInterrupted()
	defer stop()
	desk, err := openMembers(ctx, t, c.In, members.Open)
	if err != nil || desk == nil {
		return err
	}
	defer func() { err = errors.Join(err, desk.Close()) }()
	known := memberNames(desk.Members())
	for _, name := range c.Names {
		if _, there := desk.Find(name); !there {
			return hint(fmt.Errorf("there is no member “%s”", strings.TrimSpace(name)), "nobody was removed; "+spell.DidYouMean(name, known, "stillroom members list shows them all"))
		}
	}
	if err := desk.Remove(c.Names...); err != nil {
		return err
	}
	if err := desk.Save(); err != nil {
		return err
	}
	t.say("%s removed, %d left. The members' pages have a new key.", counted(len(known)-len(desk.Members()), "member"), len(desk.Members()))
	t.say("  What they have read so far they may keep; until you publish, their access code opens the pages as before.")
	t.say("next: stillroom publish%s, and upload all of it", named(c.In))
	askForCopies(t, c.In)
	return nil
}

// membersRenewCommand makes a newer key.
type membersRenewCommand struct {
	In string `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
}

// Help gives the long help.
func (membersRenewCommand) Help() string {
	return `Every removal makes a new door.key, and members.yaml says which one it goes with. Where one of the two is older than the other, nothing is
published: bring back the newest copies. If they are lost, this makes a key that is newer than both; it lets in whoever is in
members.yaml, with the access codes that they have.

Examples:
  stillroom members renew

Exit code: 0 renewed; 2 a problem, and nothing was changed.`
}

// Run makes a newer key.
func (c *membersRenewCommand) Run(t *talk) (err error) {
	ctx, stop := untilInterrupted()
	defer stop()
	desk, err := openMembers(ctx, t, c.In, members.Renew)
	if err != nil || desk == nil {
		return err
	}
	defer func() { err = errors.Join(err, desk.Close()) }()
	if _, has := desk.Door(); !has {
		return hint(errors.New("there is no "+members.KeyFile+" to be renewed"), `the first member makes one: stillroom members add "NAME"`)
	}
	if err := desk.Save(); err != nil {
		return err
	}
	t.say("The members' pages have a new key, which lets in whoever is in %s:", members.ListFile)
	for _, m := range desk.Members() {
		t.say("  %s", m.Name)
	}
	t.say("next: remove whoever should not be there; then stillroom publish%s, and upload all of it", named(c.In))
	askForCopies(t, c.In)
	return nil
}

// membersListCommand lists the members.
type membersListCommand struct {
	In string `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
}

// Help gives the long help.
func (membersListCommand) Help() string {
	return `Each line has the day of joining and the name.

Examples:
  stillroom members list
  stillroom members list --in my-handbook

Exit code: 0 listed; 2 a problem.`
}

// Run lists the members.
func (c *membersListCommand) Run(t *talk) error {
	root, _, err := openMembersFolder(c.In)
	if err != nil {
		return err
	}
	defer root.Close()
	list, problems := members.Read(root.FS())
	if t.problems(problems); t.code != done {
		return nil
	}
	for _, m := range list.Members() {
		since := "          "
		if !m.Since.IsZero() {
			since = m.Since.Format(time.DateOnly)
		}
		fmt.Fprintf(t.out, "%s  %s\n", since, m.Name)
	}
	t.say("%s", counted(len(list.Members()), "member"))
	if len(list.Members()) == 0 {
		t.say(`  the first one: stillroom members add "NAME"`)
	}
	return nil
}
