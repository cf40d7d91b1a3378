package members

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"time"

	"larkrow.example/stillroom/internal/parallel"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
)

// A Keeper changes a handbook's members. While it is open no other Keeper of the handbook is. What it changes reaches the files with Save.
type Keeper struct {
	*List
	Rounds int // that codes go through at a door made from now on: [seal.Rounds], other than in tests
	root   *os.Root
	unlock func() error
	newKey bool // the door is not as its file has it
}

// Open locks and reads the members of the handbook in a folder. While another Keeper has them it waits, some seconds at most: then the error
// is a [*LockedError]. Where there are problems in the files, the error is a [*problem.List].
func Open(ctx context.Context, root *os.Root) (*Keeper, error) { return open(ctx, root, Read) }

// Renew opens the members as [Open] does, even where the key is older or newer than the list, and gives the door a key that is newer than both: so an old
// copy of either is of no use any more, and whoever is on the list comes in as before.
func Renew(ctx context.Context, root *os.Root) (*Keeper, error) {
	k, err := open(ctx, root, readOfAnyAge)
	if err != nil || !k.hasDoor {
		return k, err
	}
	for k.newKey = true; ; {
		if k.door = k.door.NextEpoch(); k.door.Epoch() > k.epoch {
			return k, nil
		}
	}
}

// open locks the members and reads them in one of the ways.
func open(ctx context.Context, root *os.Root, read func(fs.FS) (*List, *problem.List)) (*Keeper, error) {
	for _, name := range []string{KeyFile, ListFile} {
		if info, err := root.Lstat(name); err == nil && !info.Mode().IsRegular() {
			return nil, fmt.Errorf("%s is no ordinary file: put the file itself there, not a link to it", name)
		}
	}
	unlock, err := lock(ctx, root)
	if err != nil {
		return nil, err
	}
	list, problems := read(root.FS())
	if err := problems.Err(); err != nil {
		return nil, errors.Join(err, unlock())
	}
	return &Keeper{List: list, Rounds: seal.Rounds, root: root, unlock: unlock}, nil
}

// Close lets others at the members. What was not saved is forgotten.
func (k *Keeper) Close() error { return k.unlock() }

// An Admitted is a new member with the access code, which nothing keeps.
type Admitted struct {
	Member
	Code seal.Code
}

// Add makes members of people, all of them or none, each with an access code from a source of randomness, crypto/rand.Reader outside of tests; the
// first ones get a door as well. It takes a good part of a second for each. A name that is none, that a member has or that stands twice is an error.
func (k *Keeper) Add(ctx context.Context, random io.Reader, day time.Time, names ...string) ([]Admitted, error) {
	added, err := k.newcomers(names)
	if err != nil {
		return nil, err
	}
	door := k.door
	if !k.hasDoor {
		if door, err = seal.NewDoor(random, k.Rounds); err != nil {
			return nil, err
		}
	}
	year, month, date := day.Date()
	for i := range added {
		added[i].Since = time.Date(year, month, date, 0, 0, 0, 0, time.UTC)
		if added[i].Code, err = seal.NewCode(random); err != nil {
			return nil, err
		}
	}
	parallel.Do(len(added), func(i int) {
		if ctx.Err() == nil {
			added[i].Key = door.Admit(added[i].Code)
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return added, k.take(door, added)
}

// newcomers gives the people to be added by their names in the form in which they are kept.
func (k *Keeper) newcomers(names []string) ([]Admitted, error) {
	var errs []error
	added := make([]Admitted, len(names))
	first := make(map[string]bool, len(names))
	for i, s := range names {
		name, err := ParseName(s)
		_, there := k.Find(name)
		switch {
		case err != nil:
		case there:
			err = fmt.Errorf("“%s” is a member already", name)
		case first[Key(name)]:
			err = fmt.Errorf("“%s” stands there twice", name)
		}
		first[Key(name)] = true
		errs = append(errs, err)
		added[i].Name = name
	}
	if n := len(k.members) + len(added); n > Most {
		errs = append(errs, fmt.Errorf("that would make %d members, and a handbook can have %d", n, Most))
	}
	return added, errors.Join(errs...)
}

// take puts new members on the list, once it is sure that the ring lets them in.
func (k *Keeper) take(door seal.Door, added []Admitted) error {
	next := List{door: door, hasDoor: true, members: slices.Clone(k.members)}
	for _, a := range added {
		next.members = append(next.members, a.Member)
	}
	if _, err := next.Ring(); err != nil {
		return err
	}
	for _, a := range added {
		if err := k.tree.add(a.Member); err != nil {
			return err
		}
	}
	if !k.hasDoor {
		k.door, k.hasDoor, k.newKey, k.remarks = door, true, true, keyRemark
	}
	k.setMembers(next.members)
	return nil
}

// Remove shuts people out, all of them or none: the door gets another content key, so that what is published from then on does not open to
// them. A name that no member has is an error.
func (k *Keeper) Remove(names ...string) error {
	var errs []error
	for _, name := range names {
		if _, there := k.Find(name); !there {
			errs = append(errs, fmt.Errorf("there is no member “%s”", name))
		}
	}
	if err := errors.Join(errs...); err != nil || len(names) == 0 {
		return err
	}
	for _, name := range names {
		if i, still := k.byKey[Key(name)]; still { // a name may be given twice
			k.tree.remove(i)
			k.setMembers(slices.Delete(k.members, i, i+1))
		}
	}
	k.door, k.newKey = k.door.NextEpoch(), true
	return nil
}

// Save writes the files, each whole or not at all, for nobody else to read (mode 0600): the key first and the list after it. It refuses where the files
// are no longer as they were read, and where what it is about to write would not read back as it is meant.
func (k *Keeper) Save() error {
	if !k.hasDoor {
		return nil // nobody was added yet
	}
	key, err := k.read[KeyFile], error(nil)
	if k.newKey {
		key, err = keyText(k.door, k.remarks)
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", KeyFile, err)
	}
	k.tree.setEpoch(k.door.Epoch())
	list, err := k.tree.write()
	if err != nil {
		return fmt.Errorf("write %s: %w", ListFile, err)
	}
	if err := k.readsBack(key, list); err != nil {
		return err
	}
	if err := k.unchanged(); err != nil {
		return err
	}
	return k.write(map[string][]byte{KeyFile: key, ListFile: list})
}

// readsBack reads what is about to be written.
func (k *Keeper) readsBack(key, list []byte) error {
	var problems problem.List
	door, _, _ := readKey(key, &problems)
	back := &rows{}
	if src, ok := newSource(ListFile, list, &problems); ok {
		back = readRows(src, &problems)
	}
	if problems.Len() > 0 || door != k.door || back.epoch != door.Epoch() || !slices.Equal(back.members, k.members) {
		return errors.Join(fmt.Errorf("%s has something in it that would not stay as it is; nothing was written. Take out what is no line of a member", ListFile), problems.Err())
	}
	return nil
}

// unchanged sees that nobody else wrote the files since they were read.
func (k *Keeper) unchanged() error {
	for _, name := range []string{KeyFile, ListFile} {
		now, err := k.root.ReadFile(name)
		then, there := k.read[name]
		if there != !errors.Is(err, fs.ErrNotExist) || !bytes.Equal(now, then) {
			return fmt.Errorf("%s was changed meanwhile by someone else; nothing was written: do it again", name)
		}
	}
	return nil
}

// write puts the files in place of the old ones: first both beside them, then each by its name.
func (k *Keeper) write(files map[string][]byte) (err error) {
	names := []string{KeyFile, ListFile} // see seal.Door.NextEpoch on the order
	names = slices.DeleteFunc(names, func(name string) bool { return bytes.Equal(files[name], k.read[name]) })
	for _, name := range names {
		defer func() {
			if err != nil {
				_ = k.root.Remove(beside(name)) // it may not be there
			}
		}()
		if err := writeFile(k.root, beside(name), files[name]); err != nil {
			return fmt.Errorf("write %s: %w", name, err)
		}
	}
	for _, name := range names {
		if err := k.root.Rename(beside(name), name); err != nil {
			return fmt.Errorf("write %s: %w", name, err)
		}
		k.read[name] = files[name]
	}
	k.newKey, k.epoch = false, k.door.Epoch()
	return nil
}

// beside names the file that is then renamed.
func beside(name string) string { return name + ".new" }

// writeFile writes a new file for nobody else to read, and sees that it is on the disk; one that a killed command left is replaced.
func writeFile(root *os.Root, name string, data []byte) error {
	if err := root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}
