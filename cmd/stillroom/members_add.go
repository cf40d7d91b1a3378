package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/spell"
)

// membersAddCommand adds members.
type membersAddCommand struct {
	Names  []string `arg:"" optional:"" name:"name" help:"Their names, each in quotes."`
	In     string   `default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	From   string   `placeholder:"FILE" help:"Take the names from a shop's list, a file of comma-separated values."`
	Column []string `placeholder:"NAME" sep:"none" help:"The column of that list that has the names; given twice, such as for first name and surname, they are put together."`
	Email  string   `name:"email-column" placeholder:"NAME" help:"The column that has the e-mail addresses: they are written beside the codes, and tell apart people of one name."`
	Codes  string   `placeholder:"FILE" help:"Write names and access codes to this new file instead of showing them."`
}

// Help gives the long help.
func (membersAddCommand) Help() string {
	return `An access code is told once and kept nowhere: send it to its member at once. Whoever loses a code is removed, added again, and gets
another. The first member makes door.key, the key to all members' pages: keep a copy of it in a safe place and never
publish it or put it into version control.

Examples:
  stillroom members add "Wren Hollis" "Isla Marsh"
  stillroom members add --from shop.csv --column Name --codes codes.csv
  stillroom members add --from shop.csv --column "First name" --column Surname --email-column E-mail --codes codes.csv

Exit code: 0 added; 2 a problem, and nobody was added.`
}

// Run adds the members.
func (c *membersAddCommand) Run(t *talk) (err error) {
	if err := c.contradictions(); err != nil {
		return err
	}
	ctx, stop := untilInterrupted()
	defer stop()
	desk, err := openMembers(ctx, t, c.In, members.Open)
	if err != nil || desk == nil {
		return err
	}
	defer func() { err = errors.Join(err, desk.Close()) }()
	if desk.book.Door.Kind == handbook.FolderDoor {
		return hint(errors.New("handbook.yaml says door: folder: members get in by the login of the host, and no access code opens anything"),
			"give the new members that login; or change the line to door: sealed, and add them here")
	}
	names, emails, err := c.who(t, desk)
	if err != nil || len(names) == 0 {
		return err
	}
	if len(names) >= manyMembers {
		t.say("making %d access codes, which takes a while", len(names))
	}
	_, hadDoor := desk.Door()
	added, err := desk.Add(ctx, rand.Reader, time.Now(), names...)
	switch {
	case errors.Is(err, context.Canceled):
		return hint(errors.New("interrupted"), "nobody was added")
	case err != nil:
		return hint(err, "nobody was added; each name must be a new one")
	}
	if err := c.save(desk, added, emails); err != nil {
		return err
	}
	if !hadDoor {
		t.say("%s is new: it is the key to all members' pages.", filepath.Join(c.In, members.KeyFile))
		t.say("  Never publish it, and keep it and %s out of version control.", members.ListFile)
	}
	if err := c.tell(t, desk.book, added); err != nil || hadDoor {
		return err
	}
	askForCopies(t, c.In)
	return nil
}

// askForCopies tells which files to copy after the key was changed.
func askForCopies(t *talk, dir string) {
	t.say("copy %s and %s to a safe place now, together, in the place of older copies:", filepath.Join(dir, members.KeyFile), filepath.Join(dir, members.ListFile))
	t.say("  without them no member can be let in, and older ones would let in whoever was removed since.")
}

// manyMembers is from how many new members on it is said that they take a while.
const manyMembers = 20

// contradictions refuses a command line that cannot be meant.
func (c *membersAddCommand) contradictions() error {
	switch {
	case c.From != "" && len(c.Names) > 0:
		return hint(errors.New("names are given, and a list of them too"), "give the names, or --from FILE --column NAME")
	case c.From != "" && len(c.Column) == 0:
		return hint(errors.New("--column is missing: which column of "+c.From+" has the names?"), "add --column NAME, as its first row has it")
	case c.From == "" && c.Email != "":
		return hint(errors.New("--email-column is of a list, and there is none"), "name the list with --from FILE")
	case c.From == "" && len(c.Column) > 0:
		return hint(errors.New("--column is of a list, and there is none"), "name the list with --from FILE")
	case c.From != "" && c.Codes == "":
		return hint(errors.New("--codes is missing: where are the access codes to be written?"), "add --codes codes.csv")
	case c.From == "" && len(c.Names) == 0:
		return hint(errors.New("whom to add?"), `give a name in quotes: stillroom members add "Wren Hollis"`)
	}
	if c.Codes == "" {
		return nil
	}
	return c.safeForCodes()
}

// safeForCodes refuses to write codes where they would replace a file, be published, or get into version control.
func (c *membersAddCommand) safeForCodes() error {
	if _, err := os.Lstat(c.Codes); err == nil {
		return hint(fmt.Errorf("%s is there already", c.Codes), "choose another name with --codes; access codes are never written over a file")
	}
	to, err := realPath(c.Codes)
	if err != nil {
		return err
	}
	if info, err := os.Stat(filepath.Dir(to)); err != nil || !info.IsDir() {
		return hint(fmt.Errorf("there is no folder %s", filepath.Dir(c.Codes)), "make it, or choose another with --codes")
	}
	dir, err := outputAround(to)
	if err != nil {
		return err
	}
	if dir != "" {
		return hint(fmt.Errorf("%s lies in the output folder %s, where everyone could read it", c.Codes, dir), "choose a place outside of it with --codes")
	}
	in, err := realPath(c.In)
	if err != nil {
		return err
	}
	if ignored, err := path.Match("*codes*.csv", filepath.Base(to)); err == nil && !ignored && within(to, in) {
		return hint(fmt.Errorf("%s lies in the handbook's folder, and its name is not one that .gitignore keeps out of version control", c.Codes),
			"choose a place outside of it, or a name such as codes.csv")
	}
	return nil
}

// outputAround gives the output folder that a file lies in, or "". It is known by its list of files or, if nothing was built yet, by its name.
func outputAround(file string) (string, error) {
	for dir := filepath.Dir(file); ; dir = filepath.Dir(dir) {
		if _, err := os.Lstat(filepath.Join(dir, ".stillroom.json")); err == nil {
			return dir, nil
		}
		if filepath.Dir(dir) == dir {
			break
		}
	}
	for _, name := range []string{"public", "public-members"} {
		dir, err := realPath(name)
		if err != nil || within(file, dir) {
			return dir, err
		}
	}
	return "", nil
}

// within says whether a file lies in a folder; both are whole paths.
func within(file, dir string) bool {
	rel, err := filepath.Rel(dir, file)
	return err == nil && filepath.IsLocal(rel)
}

// who gives the names to add and, where they were asked for, the e-mail addresses by name.
func (c *membersAddCommand) who(t *talk, desk *membersDesk) (names []string, emails map[string]string, err error) {
	if c.From == "" {
		return c.Names, nil, c.nearMisses(t, desk)
	}
	raw, err := os.ReadFile(c.From)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, hint(fmt.Errorf("there is no file %s", c.From), "name the list with --from FILE")
	}
	if err != nil {
		return nil, nil, err
	}
	rows, problems := members.ReadColumns(filepath.ToSlash(c.From), raw, c.Column, c.Email)
	if problems.Len() > 0 {
		_ = problems.Print(t.err)
		t.say("nobody was added")
		t.code = unreadable
		return nil, nil, nil
	}
	rows = c.newcomers(t, desk, rows)
	if c.Email != "" {
		emails = make(map[string]string, len(rows))
	}
	for _, row := range rows {
		names = append(names, row.Name)
		if emails != nil {
			emails[row.Name] = row.Email
		}
	}
	return names, emails, nil
}

// newcomers gives the people of a shop's list who are to be added. Whom it has twice, and members, are told and passed over.
func (c *membersAddCommand) newcomers(t *talk, desk *membersDesk, rows []members.Row) []members.Row {
	var all []members.Row
	first := map[string]int{}
	for _, row := range rows {
		line, _ := row.At.Position()
		member, there := desk.Find(row.Name)
		earlier, twice := first[members.Key(row.Name)]
		switch {
		case row.Name == "":
			t.say("%s:%d: there is no name in this row: passed over", c.From, line)
		case there:
			t.say("%s:%d: “%s” is a member already: passed over", c.From, line, member.Name)
		case twice:
			t.say("%s:%d: “%s” stands in line %d too: added once", c.From, line, row.Name, earlier)
		default:
			first[members.Key(row.Name)] = line
			all = append(all, row)
			if c.Email != "" && row.Email == "" {
				t.say("%s:%d: “%s” has no e-mail address there", c.From, line, row.Name)
			}
		}
	}
	if len(all) == 0 {
		t.say("there is nobody new in %s: nothing was changed", c.From)
	}
	return all
}

// nearMisses tells of names that are much like a member's: perhaps it is the same person. A member's own name is refused.
func (c *membersAddCommand) nearMisses(t *talk, desk *membersDesk) error {
	known := memberNames(desk.Members())
	for _, name := range c.Names {
		if member, there := desk.Find(name); there {
			return hint(fmt.Errorf("“%s” is a member already", member.Name), "nobody was added; two people of one name need something to tell them apart, such as "+
				"“"+member.Name+" (Oban)”. If the access code is lost: stillroom members remove, then add again")
		}
		if near := spell.Nearest(name, known); near != "" {
			t.say("“%s” is much like “%s”, who is a member already; if that is the same person, remove the one not wanted", name, near)
		}
	}
	return nil
}

func memberNames(all []members.Member) []string {
	names := make([]string, len(all))
	for i, m := range all {
		names[i] = m.Name
	}
	return names
}

// save writes the codes first, if they go to a file, and then the list: so nobody is a member whose code is lost.
func (c *membersAddCommand) save(desk *membersDesk, added []members.Admitted, emails map[string]string) error {
	if c.Codes == "" {
		return desk.Save()
	}
	f, err := os.OpenFile(c.Codes, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	err = errors.Join(members.WriteCodes(f, added, emails), f.Sync(), f.Close())
	if err == nil {
		err = desk.Save()
	}
	if err != nil {
		return errors.Join(err, os.Remove(c.Codes))
	}
	return nil
}

// tell gives the codes, and what to write to the new members.
func (c *membersAddCommand) tell(t *talk, book *handbook.Handbook, added []members.Admitted) error {
	where := cmp.Or(book.Address, "the handbook")
	if c.Codes != "" {
		t.say("%s: %s, one for each new member. Send each in a letter such as", c.Codes, counted(len(added), "access code"))
		t.say("  %s", letter(where, "[the code]"))
		t.say("  This is the only copy: delete the file once they are sent.")
	} else if err := c.show(t, where, added); err != nil {
		return hint(fmt.Errorf("show the access codes: %w", err), "they were made and could not be shown: remove these members and add them again")
	}
	if book.Door.Kind == "" {
		t.say("next: write a line door: sealed into handbook.yaml, for without it members' pages are left out; then publish")
		return nil
	}
	t.say("next: stillroom publish%s, which lets them in", named(c.In))
	return nil
}

// show prints each new member's code with what to send.
func (c *membersAddCommand) show(t *talk, where string, added []members.Admitted) error {
	for _, a := range added {
		if _, err := fmt.Fprintf(t.out, "%s\n  %s\n  to send: %s\n", a.Name, a.Code, letter(where, a.Code.String())); err != nil {
			return err
		}
	}
	t.say("%s added. An access code stands nowhere but here: send it now.", counted(len(added), "member"))
	if len(added) > 1 && !slices.ContainsFunc(added, func(a members.Admitted) bool { return strings.Contains(a.Name, " ") }) {
		t.say("  If these words are the name of one person, remove them and add it in quotes.")
	}
	return nil
}

// letter is what a new member is told.
func letter(where, code string) string {
	return fmt.Sprintf("Open %s, any page marked “for members”, and type %s (capital or small letters, with hyphens or without).", where, code)
}

// named gives the folder as the publish command wants it.
func named(dir string) string {
	if dir == "content" {
		return ""
	}
	return " " + dir
}
