package site

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/synthetic/maker"
	"larkrow.example/stillroom/themes/linen"
)

// How long makers work; much longer runs are for those who change what a memory keeps or what a file rests on.
var (
	memorySeeds = flag.Uint64("seeds", 1, "how many makers publish a handbook, of each edition")
	memorySteps = flag.Int("steps", 25, "how many things each of them does")
)

// Whatever a maker does between two runs, publishing with what the last one remembers gives the same files, byte for byte, as publishing anew from
// recipes that are all held in memory; and the same problems and the same recipes held back.
func TestPublishWithMemory(t *testing.T) {
	t.Parallel()
	lock := testLock(t)
	for _, row := range []struct {
		name    string
		edition Edition
		door    string
	}{
		{"maker", MakerEdition, ""},
		{"open", OpenEdition, ""},
		{"members", MembersEdition, "folder"},
		{"behind-folder", OpenEdition, "folder"},
		{"sealed", OpenEdition, "sealed"},
	} {
		for seed := range *memorySeeds {
			t.Run(fmt.Sprintf("%s-%d", row.name, seed), func(t *testing.T) {
				t.Parallel()
				p := &publisher{T: t, w: maker.New(t), edition: row.edition, out: t.TempDir(), file: filepath.Join(t.TempDir(), "run.memory")}
				if row.door != "" {
					p.w.Edit("handbook.yaml", "batches:", "door: "+row.door+"\nbatches:")
					p.w.Original["handbook.yaml"] = p.w.Read("handbook.yaml")
				}
				if row.door == "sealed" {
					p.lock = &lock
				}
				r, troubled := rand.New(rand.NewPCG(seed, 11)), false
				p.publish("at first")
				for i := range *memorySteps {
					what, _ := p.w.Step(r, troubled)
					troubled = !p.publish(fmt.Sprintf("step %d: %s", i, what))
					if t.Failed() {
						return
					}
				}
				assert.Greater(t, p.sound, *memorySteps/4, "steps at which there was something to publish")
				assert.Positive(t, p.kept, "files that were not made again")
				t.Logf("%d steps without a problem, %d files made, %d not made again", p.sound, p.made, p.kept)
			})
		}
	}
}

// Nothing is taken from a memory that is of another program, another theme or another state of the output.
func TestMemoryIsNotTrusted(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		alter func(*publisher, *Memory)
		kept  bool
	}{
		{"nothing altered", func(*publisher, *Memory) {}, true},
		{"another program", func(_ *publisher, m *Memory) { m.Program[0]++ }, false},
		{"another build into the folder since", func(_ *publisher, m *Memory) {
			for _, o := range m.Outlets {
				o.Manifest[0]++
			}
		}, false},
		{"another theme", func(p *publisher, _ *Memory) {
			theme, err := LoadTheme(linen.FS, fstest.MapFS{"pieces/trail.html": {Data: []byte("<p>Ours</p>")}})
			require.NoError(p, err)
			p.theme = theme
		}, false},
		{"no memory", func(_ *publisher, m *Memory) { *m = Memory{} }, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := &publisher{T: t, w: maker.New(t), edition: OpenEdition, out: t.TempDir(), file: filepath.Join(t.TempDir(), "run.memory")}
			require.True(t, p.publish("at first"))
			require.Zero(t, p.kept)
			m := ReadMemory(p.file)
			row.alter(p, m)
			require.NoError(t, m.Save(p.file))
			require.True(t, p.publish("again"))
			assert.Equal(t, row.kept, p.kept > 0, "%d files were not made again", p.kept)
		})
	}
}

// A publisher publishes a handbook again and again.
type publisher struct {
	*testing.T
	w                 *maker.World
	edition           Edition
	lock              *Lock
	theme             *Theme // nil for the default one
	out, file         string
	sound, made, kept int
}

// publish publishes with and without what the last time left. It says whether there was no problem.
func (p *publisher) publish(what string) bool {
	fsys := os.DirFS(p.w.Dir)
	h, anew := handbook.Load(fsys)
	whole := Prepare(h, anew)
	memory := ReadMemory(p.file)
	book, problems := Skim(fsys, memory, p.edition)
	require.Equal(p, toldIn(anew), toldIn(problems), what)
	if anew.Len() > 0 {
		return false
	}
	clean := p.T.TempDir()
	first, second := p.build(whole), p.build(book)
	require.Equal(p, heldFiles(first), heldFiles(second), what)
	err1 := p.write(first, clean, nil)
	err2 := p.write(second, p.out, memory)
	require.Equal(p, err1 == nil, err2 == nil, "%s: %v, %v", what, err1, err2)
	if err1 != nil {
		return false // a picture that cannot be shown
	}
	memory.Keep(book)
	require.NoError(p, memory.Save(p.file))
	p.sound++
	want, got := bytesIn(p.T, clean), bytesIn(p.T, p.out)
	if !assert.Equal(p, keysOf(want), keysOf(got), what) {
		return true
	}
	for file, data := range want {
		if !assert.True(p, data == got[file], "%s: %s is not as it is made anew", what, file) {
			p.Log(firstLinesApart(data, got[file]))
		}
	}
	require.NoError(p, os.RemoveAll(clean))
	return true
}

func (p *publisher) build(b *Book) *Build {
	theme := p.theme
	if theme == nil {
		theme = defaultTheme(p.T)
	}
	s := NewBuild(b, p.edition, theme)
	if p.lock != nil {
		s.Seal(*p.lock, p.open)
	}
	return s
}

func (p *publisher) open(file string) ([]byte, error) { return os.ReadFile(p.w.Path(file)) }

func (p *publisher) write(s *Build, folder string, memory *Memory) (err error) {
	if err := s.TryPictures(p.open); err != nil {
		return err
	}
	tree, err := OpenTree(folder, p.edition)
	require.NoError(p, err)
	defer func() { err = errors.Join(err, tree.Close()) }()
	tally, err := s.Write(p.Context(), tree, memory, p.open, func() {})
	if err == nil && memory != nil {
		p.made, p.kept = p.made+tally.Files-tally.Kept, p.kept+tally.Kept
		memory.KeepOutlet(s, tree)
	}
	return err
}

func toldIn(problems *problem.List) []string {
	var all []string
	for _, q := range problems.All() {
		line, column := q.Span.Position()
		all = append(all, fmt.Sprintf("%s:%d:%d: %s (%s)", q.Span.File(), line, column, q.Message, q.Hint))
	}
	slices.Sort(all)
	return all
}

func heldFiles(s *Build) []string {
	var all []string
	for _, h := range s.Held() {
		all = append(all, h.Recipe.File+": "+fmt.Sprint(h.Stops[0].Message, len(h.Stops)))
	}
	return all
}

// bytesIn gives every file below a folder.
func bytesIn(t testing.TB, folder string) map[string]string {
	all := make(map[string]string)
	require.NoError(t, filepath.WalkDir(folder, func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(folder, name)
		all[filepath.ToSlash(rel)] = string(data)
		return err
	}))
	return all
}

func keysOf(m map[string]string) []string {
	var all []string
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

// firstLinesApart gives the first lines in which two texts differ.
func firstLinesApart(a, b string) string {
	one, two := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(one), len(two)) {
		if one[i] != two[i] {
			return "anew:  " + one[i] + "\nfound: " + two[i]
		}
	}
	return "one is longer"
}

// After each single change the pages that tell of it are made again, and others are not.
func TestPublishAfterOneChange(t *testing.T) {
	t.Parallel()
	const balm, record = "recipes/gate-balm.md", "batches/hc-260601-1.md"
	for _, row := range []struct {
		name           string
		edition        Edition
		file, old, now string // in the file, old is put in the place of now; the file goes where old is ""
		tells          string // a file of the output that is then made again
	}{
		{"a recipe's text", OpenEdition, balm, "Beeswax: 20 %", "Beeswax: 25 %", "recipes/gate-balm/index.html"},
		{"a recipe's title, on another's list of uses", OpenEdition, balm, "title: Gate balm", "title: Gate salve", "ingredients/sunflower-oil/index.html"},
		{"a linked page for the maker alone", OpenEdition, "notes/how-we-weigh.md", "title: How we weigh", "access: maker\ntitle: How we weigh", "ingredients/sunflower-oil/index.html"},
		{"a linked recipe for the maker alone", OpenEdition, balm, "title: Gate balm", "access: maker\ntitle: Gate balm", "recipes/hedge-bar/index.html"},
		{"a linked recipe held back", OpenEdition, balm, "Beeswax: 20 %", "Beeswax: 20 %\n      Hydroquinone: 1 %", "recipes/hedge-bar/index.html"},
		{"a record, on its recipe's page", MakerEdition, record, "size: 250 g", "size: 260 g", "recipes/hand-cream/index.html"},
		{"a record that goes", MakerEdition, record, "", "", "recipes/hand-cream/index.html"},
		{"a material's first use", OpenEdition, balm, "Shea butter, refined", "Mango butter", "ingredients/mango-butter/index.html"},
		{"a picture's size", OpenEdition, "pictures/hedgerow.svg", "0 0 40 20", "0 0 20 40", "recipes/hand-cream/index.html"},
		{"a price", MakerEdition, "ingredients/sunflower-oil.md", "price: 9.50 per l", "price: 10 per l", "recipes/gate-balm/index.html"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := &publisher{T: t, w: maker.New(t), edition: row.edition, out: t.TempDir(), file: filepath.Join(t.TempDir(), "run.memory")}
			require.True(t, p.publish("at first"))
			before := bytesIn(t, p.out)
			if row.old == "" {
				p.w.Remove(row.file)
			} else {
				p.w.Edit(row.file, row.old, row.now)
			}
			require.True(t, p.publish("after the change"))
			assert.True(t, before[row.tells] != bytesIn(t, p.out)[row.tells], "%s is as it was", row.tells)
		})
	}
}

// Of output folders that are gone nothing is remembered.
func TestMemoryForgets(t *testing.T) {
	t.Parallel()
	p := &publisher{T: t, w: maker.New(t), edition: OpenEdition, out: filepath.Join(t.TempDir(), "out"), file: filepath.Join(t.TempDir(), "run.memory")}
	require.True(t, p.publish("into one folder"))
	first := p.out
	p.out = filepath.Join(t.TempDir(), "out")
	require.True(t, p.publish("into another"))
	assert.Len(t, ReadMemory(p.file).Outlets, 2)
	require.NoError(t, os.RemoveAll(first))
	require.True(t, p.publish("into that again"))
	assert.Len(t, ReadMemory(p.file).Outlets, 1)
}
