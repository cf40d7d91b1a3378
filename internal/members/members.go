// Package members keeps the list of a handbook's members and the key to its door.
package members

import (
	"errors"
	"io"
	"io/fs"
	"slices"
	"time"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
)

// Two files lie beside handbook.yaml. The key file has the door: whoever has it can open every members' page. The list has the members:
// it names people, and opens nothing without the key. Neither is ever published. No file has the access codes: they are told
// once, when they are made.
//
// A removal writes both files, and the list says in its door-key: which key it goes with, by the door's epoch. So an older copy of either
// that was put back, which would let in again whoever was removed, is told of. Lists from before this line have none, and get it
// when they are next written.

// The names of the files, in the handbook's folder.
const (
	KeyFile  = "door.key"
	ListFile = "members.yaml"
	LockFile = "members.lock" // there while a Keeper is at work
)

// maxFile bounds the size of either file and of a shop's list in bytes: a list of [Most] members takes a third of it.
const maxFile = 4 << 20

// Most is how many members a handbook can have: as many as the ring of a door holds.
const Most = 4096

// A Member is someone who may read the members' pages.
type Member struct {
	Name  string      // as ParseName gives it
	Since time.Time   // the day of joining, or zero where the list does not say
	Key   seal.Member // what puts the member on the ring
}

// A List is a handbook's members and its door, as they were when it was read.
type List struct {
	door    seal.Door
	hasDoor bool
	remarks string // the lines of its file beside the key
	members []Member
	byKey   map[string]int   // place in members, by Key
	epoch   uint32           // of the door that the list goes with; 0 where it does not say
	age     *problem.Problem // what is wrong where that is not the door's
	tree    *tree
	read    map[string][]byte // the bytes of the files as read; none where there is no file
}

// Read reads the list and the key from a handbook's folder. Where there are no such files the list is empty and has no door. It gives what
// could be read even where there are problems; no problem shows the key.
func Read(fsys fs.FS) (*List, *problem.List) {
	l, problems := readOfAnyAge(fsys)
	if l.age != nil {
		problems.Add(l.age)
	}
	return l, problems
}

// readOfAnyAge reads the two files without minding whether one of them is older than the other.
func readOfAnyAge(fsys fs.FS) (*List, *problem.List) {
	var problems problem.List
	l := &List{tree: newTree(""), read: make(map[string][]byte, 2)}
	if raw, ok := l.file(fsys, KeyFile, &problems); ok {
		l.door, l.remarks, l.hasDoor = readKey(raw, &problems)
	}
	if raw, ok := l.file(fsys, ListFile, &problems); ok {
		l.readMembers(raw, &problems)
	} else if l.hasDoor && problems.Len() == 0 {
		problems.Addf(problem.Span{Source: &problem.Source{Name: ListFile}}, "bring it back from a copy; without it nobody is let in. "+
			"If it is lost for good, delete "+KeyFile+" to begin anew, and add everyone again: each gets a new access code",
			"the list of members is missing, and there is a key to their pages, %s", KeyFile)
	}
	return l, &problems
}

// file reads one of the two files, if it is there.
func (l *List) file(fsys fs.FS, name string, problems *problem.List) ([]byte, bool) {
	f, err := fsys.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false
	}
	var raw []byte
	if err == nil {
		defer f.Close()
		raw, err = io.ReadAll(io.LimitReader(f, maxFile+1))
	}
	if inner, ok := errors.AsType[*fs.PathError](err); ok {
		err = inner.Err
	}
	at := problem.Span{Source: &problem.Source{Name: name}}
	switch {
	case err != nil:
		problems.Addf(at, "see that it is a file and may be opened", "this cannot be read: %v", err)
	case len(raw) > maxFile:
		problems.Addf(at, "restore the file from a copy", "the file is larger than the %d MB that it may have", maxFile>>20)
	default:
		l.read[name] = raw
		return raw, true
	}
	return nil, false
}

// readMembers reads the list, and sees that its members belong to the door.
func (l *List) readMembers(raw []byte, problems *problem.List) {
	before := problems.Len()
	src, ok := newSource(ListFile, raw, problems)
	if !ok {
		return
	}
	rows := readRows(src, problems)
	l.tree, l.epoch = rows.tree, rows.epoch
	l.setMembers(rows.members)
	_, keyThere := l.read[KeyFile]
	switch {
	case problems.Len() > before:
	case l.hasDoor:
		l.age = rows.age(l.door)
		rows.match(l.door, problems)
	case !keyThere && len(l.members) > 0:
		problems.Addf(problem.Span{Source: &problem.Source{Name: KeyFile}}, "put it back from a copy; without it these members cannot be let in. "+
			"If it is lost for good, delete "+ListFile+" and add everyone again: each gets a new access code",
			"the key to the members' pages is missing, and %s has members", ListFile)
	}
}

// Door gives the door, and false where none was made yet.
func (l *List) Door() (seal.Door, bool) { return l.door, l.hasDoor }

// Members gives the members in the order of the list.
func (l *List) Members() []Member { return slices.Clone(l.members) }

// Ring makes the ring that lets the members in. It is an error where there is no door.
func (l *List) Ring() (seal.Ring, error) {
	if !l.hasDoor {
		return seal.Ring{}, errors.New("the handbook has no door yet: “stillroom members add NAME” makes it")
	}
	keys := make([]seal.Member, len(l.members))
	for i, m := range l.members {
		keys[i] = m.Key
	}
	return l.door.Ring(keys)
}

// Find gives the member of a name, written in small or capital letters.
func (l *List) Find(name string) (Member, bool) {
	if i, ok := l.byKey[Key(name)]; ok {
		return l.members[i], true
	}
	return Member{}, false
}

func (l *List) setMembers(all []Member) {
	l.members, l.byKey = all, make(map[string]int, len(all))
	for i, m := range all {
		l.byKey[Key(m.Name)] = i
	}
}
