package site

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"errors"
	"hash"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/handbook"
)

// A Memory is what one run of the program leaves for the next: the headers and gists of recipes, and by what the files of each output folder were
// made. It lies outside the handbook and its output and may be lost at any time. What is taken from it is taken only where everything that it was made
// by is the same: the program, the theme, the texts.
type Memory struct {
	Program Sum                      // of the program that wrote it
	Rules   Sum                      // that all recipes were read by
	Recipes map[string]string        // by file: what is left of it, packed
	Outlets map[string]*outletMemory // by edition and folder
}

// A Sum is a SHA-256.
type Sum = handbook.Sum

// An outletMemory is by what the files of an output folder were made.
type outletMemory struct {
	Manifest Sum            // of the list of files that the run left there
	Pages    map[string]Sum // by path: what a recipe's or ingredient's files rest on
	Book     Sum            // what all other files rest on
}

// ReadMemory reads what the last run left in a file. What is not whole is as if it had left nothing.
func ReadMemory(file string) *Memory {
	raw, err := os.ReadFile(file)
	if err != nil || len(raw) < sha256.Size {
		return &Memory{}
	}
	body, m := raw[:len(raw)-sha256.Size], &Memory{}
	if sha256.Sum256(body) != Sum(raw[len(body):]) || gob.NewDecoder(bytes.NewReader(body)).Decode(m) != nil {
		return &Memory{}
	}
	program() // which is asked for as soon as the first recipe is read
	return m
}

// Save writes the memory into a file, whole or not at all, with its sum at the end.
func (m *Memory) Save(file string) (err error) {
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".*")
	if err != nil {
		return err
	}
	sum, w := sha256.New(), bufio.NewWriterSize(f, 1<<20)
	err = gob.NewEncoder(io.MultiWriter(w, sum)).Encode(m)
	if err == nil {
		_, err = w.Write(sum.Sum(nil))
	}
	if err = errors.Join(err, w.Flush(), f.Close()); err == nil {
		err = os.Rename(f.Name(), file)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}

// program gives the sum of the running program; the zero sum where it cannot be read.
var program = sync.OnceValue(func() Sum {
	file, err := os.Executable()
	if err != nil {
		return Sum{}
	}
	sum, err := digestOfFile(file)
	if err != nil {
		return Sum{}
	}
	return Sum(sum)
})

// fits says whether recipes would be read today as the memory has them.
func (m *Memory) fits(h *handbook.Handbook) bool {
	return m != nil && m.Program == program() && m.Program != Sum{} && m.Rules == h.Rules()
}

// Keep takes in what a run that ended well knows of the book. It says whether that is news.
func (m *Memory) Keep(b *Book) (news bool) {
	before := m.Recipes
	news = !m.fits(b.Handbook)
	m.Program, m.Rules = program(), b.Rules()
	m.Recipes = make(map[string]string, len(b.Recipes))
	for _, r := range b.Recipes {
		n := b.benches[r]
		if r.Header() == nil || n.stops != nil { // those with stops are told of, with their places
			continue
		}
		if n.remembered == "" {
			n.remembered, news = (&remembered{*r.Header(), n.packed, n.judged}).pack(), true
		}
		m.Recipes[r.File] = n.remembered
	}
	return news || len(m.Recipes) != len(before)
}

// KeepOutlet takes in by what a finished build made its files. It says whether that is news.
func (m *Memory) KeepOutlet(s *Build, t *Tree) (news bool) {
	if m.Outlets == nil {
		m.Outlets = make(map[string]*outletMemory)
	}
	o := &outletMemory{Manifest: t.manifestSum(), Pages: make(map[string]Sum, len(s.recipes)+len(s.ingredients)), Book: s.restsOfBook()}
	for _, r := range s.recipes {
		if r.Header() != nil {
			o.Pages[recipePath(r)] = s.restsOf(r)
		}
	}
	for _, i := range s.ingredients {
		o.Pages[ingredientPath(i)] = s.restsOfIngredient(i)
	}
	maps.DeleteFunc(m.Outlets, func(name string, _ *outletMemory) bool { // of folders that are gone, or the memory would grow for ever
		_, folder, _ := strings.Cut(name, " ")
		_, err := os.Stat(folder)
		return errors.Is(err, fs.ErrNotExist)
	})
	name := outletName(s, t)
	before := m.Outlets[name]
	m.Outlets[name] = o
	return before == nil || before.Manifest != o.Manifest || before.Book != o.Book || !maps.Equal(before.Pages, o.Pages)
}

// outlet gives by what the files in a tree were made, if that is known and the tree is as it was left.
func (m *Memory) outlet(s *Build, t *Tree) *outletMemory {
	if m == nil || m.Program != program() || m.Program == (Sum{}) {
		return nil
	}
	if o := m.Outlets[outletName(s, t)]; o != nil && o.Manifest == t.manifestSum() {
		return o
	}
	return nil
}

// made gives what the files of a sheaf were made by.
func (o *outletMemory) made(f sheaf) Sum {
	if f.alone {
		return o.Pages[f.outputs[0].path]
	}
	return o.Book
}

func outletName(s *Build, t *Tree) string {
	folder, err := filepath.Abs(t.name)
	if err != nil {
		folder = t.name
	}
	return string(s.edition) + " " + folder
}

// manifestSum gives the sum of the tree's list of files as it lies on the disk; that of nothing where there is none.
func (t *Tree) manifestSum() Sum {
	raw, err := t.root.ReadFile(manifestFile)
	if err != nil {
		return Sum{}
	}
	return sha256.Sum256(raw)
}

// A basis adds up what something rests on.
type basis struct {
	hash.Hash
	room packer
}

func newBasis() *basis { return &basis{Hash: sha256.New()} }

// add takes in texts so that no two lists of texts look alike.
func (b *basis) add(texts ...string) {
	b.room = b.room[:0]
	b.room.texts(texts)
	b.Write(b.room)
}

func (b *basis) sum() Sum { return Sum(b.Sum(nil)) }

// MemoryFile gives the file for the memory of a handbook in a folder, in the folder that the system has for what can be made again.
func MemoryFile(dir string) (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	whole, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	name := sha256.Sum256([]byte(whole))
	return filepath.Join(cache, "stillroom", hex.EncodeToString(name[:8])+".memory"), nil
}
