// Package maker is test support: a small handbook on disk, and a maker who works at it at random.
package maker

import (
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	_ "embed"

	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"
)

// A World is a handbook on disk, at which a maker works.
type World struct {
	t        testing.TB
	Dir      string
	Original map[string]string // texts by file, as the handbook began
}

//go:embed hedge.txtar
var hedge []byte

// New writes the handbook into a folder of its own.
func New(t testing.TB) *World {
	t.Helper()
	w := &World{t: t, Dir: filepath.Join(t.TempDir(), "hedge"), Original: make(map[string]string)}
	for _, f := range txtar.Parse(hedge).Files {
		w.Original[f.Name] = string(f.Data)
		w.Write(f.Name, string(f.Data))
	}
	return w
}

// Path gives where a file is.
func (w *World) Path(file string) string { return filepath.Join(w.Dir, filepath.FromSlash(file)) }

// Write writes a file.
func (w *World) Write(file, text string) {
	w.t.Helper()
	require.NoError(w.t, os.MkdirAll(filepath.Dir(w.Path(file)), 0o755))
	require.NoError(w.t, os.WriteFile(w.Path(file), []byte(text), 0o644))
}

// Read gives a file's text.
func (w *World) Read(file string) string {
	w.t.Helper()
	raw, err := os.ReadFile(w.Path(file))
	require.NoError(w.t, err)
	return string(raw)
}

// Remove takes a file or folder away.
func (w *World) Remove(file string) {
	w.t.Helper()
	require.NoError(w.t, os.RemoveAll(w.Path(file)))
}

// Rename gives a file or folder another name.
func (w *World) Rename(from, to string) {
	w.t.Helper()
	require.NoError(w.t, os.MkdirAll(filepath.Dir(w.Path(to)), 0o755))
	require.NoError(w.t, os.Rename(w.Path(from), w.Path(to)))
}

// Has says whether a file is there.
func (w *World) Has(file string) bool {
	_, err := os.Lstat(w.Path(file))
	return err == nil
}

// Edit puts words in the place of others, which must be there.
func (w *World) Edit(file, old, now string) {
	w.t.Helper()
	text := w.Read(file)
	require.Contains(w.t, text, old, file)
	w.Write(file, strings.Replace(text, old, now, 1))
}

// Files lists what is there now, links too.
func (w *World) Files() []string {
	w.t.Helper()
	var all []string
	require.NoError(w.t, filepath.WalkDir(w.Dir, func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			rel, _ := filepath.Rel(w.Dir, name)
			all = append(all, filepath.ToSlash(rel))
		}
		return err
	}))
	return all
}

// below lists the files in a folder.
func (w *World) below(folder string) []string {
	return slices.DeleteFunc(w.Files(), func(file string) bool { return !strings.HasPrefix(file, folder+"/") })
}

// Mend brings everything back to how it was first, and gives what differed.
func (w *World) Mend() []string {
	var changed []string
	for _, file := range w.Files() {
		if _, known := w.Original[file]; !known {
			w.Remove(file)
			changed = append(changed, file)
		}
	}
	for _, file := range slices.Sorted(maps.Keys(w.Original)) {
		if raw, err := os.ReadFile(w.Path(file)); err == nil && string(raw) == w.Original[file] {
			continue
		}
		w.Remove(file) // which may be a link
		w.Write(file, w.Original[file])
		changed = append(changed, file)
	}
	return changed
}

// A swap is a change to a text that can be made and taken back.
type swap struct{ file, old, now string }

// sound swaps leave a handbook that has no problem.
var sound = []swap{
	{"recipes/hand-cream.md", "Glycerin: 3 %", "Glycerin: 4 %"},
	{"recipes/hand-cream.md", "Glycerin: 6 %", "Glycerin: 7 %"},
	{"recipes/hand-cream.md", "title: Hand cream", "title: Hedge hand cream"},
	{"recipes/hand-cream.md", "shelf: Creams", "shelf: Balms"},
	{"recipes/hand-cream.md", "summary: For", "access: members\nsummary: For"},
	{"recipes/hand-cream.md", "batches: [250 g,", "batches: [300 g,"},
	{"recipes/hand-cream.md", "name: Night version", "name: Evening version"},
	{"recipes/hand-cream.md", "becomes Cocoa butter", "becomes Mango butter"},
	{"recipes/hand-cream.md", "share: 1/2, add", "share: 50 %, add"},
	{"recipes/hand-cream.md", "costs: 0.80", "costs: 0.90"},
	{"recipes/hand-cream.md", "{file: hedgerow.svg", "{file: balm.svg"},
	{"recipes/gate-balm.md", "Beeswax: 20 %", "Beeswax: 25 %"},
	{"recipes/gate-balm.md", "![A tin](balm.svg)", "A tin."},
	{"recipes/hedge-bar.md", "superfat: 5 %", "superfat: 7 %"},
	{"recipes/hedge-bar.md", "Olive oil: 60 %", "Olive oil: 61 %"},
	{"recipes/elbow-oil.md", "House balsam: 10 ml", "House balsam: 12 ml"},
	{"recipes/elbow-oil.md", "Stir :amount", "Slowly stir :amount"},
	{"recipes/trials/moon-cream.md", "access: members", "access: open"},
	{"recipes/trials/stick.md", "title: Stick", "title: Aftershine stick"},
	{"recipes/trials/stick.md", "Candelilla wax: 25 %", "Carnauba wax: 25 %"},
	{"ingredients/sunflower-oil.md", "density: 0.92", "density: 0.93"},
	{"ingredients/sunflower-oil.md", "to: 80 %", "to: 10 %"},
	{"ingredients/sunflower-oil.md", "role: oil", "role: [oil, emollient]"},
	{"ingredients/sunflower-oil.md", "price: 9.50 per l", "price: 10 per l"},
	{"ingredients/sunflower-oil.md", "name: Sunflower oil", "name: Hedge oil\nalso: [sunflower oil]"},
	{"ingredients/sunflower-oil.md", "price:", "also: [Moon dust]\nprice:"},
	{"ingredients/sunflower-oil.md", "saponification: 185–195", "saponification: 186–190"},
	{"ingredients/sunflower-oil.md", "price:", "access: maker\nprice:"},
	{"ingredients/glycerin.md", "also: [glycerine, glycerin]", "also: [glycerine]"},
	{"ingredients/glycerin.md", "{file: hedgerow.svg", "{file: balm.svg"},
	{"ingredients/glycerin.md", "Sticky.", "Sticky, and sweet."},
	{"ingredients/emulsifying-wax.md", "Ceteareth-20: 30 %", "Ceteareth-20: 20 %"},
	{"ingredients/emulsifying-wax.md", "dissolves: oil", "dissolves: oil\nhlb: 12"},
	{"ingredients/house-balsam.md", "density: 1.02", "density: 0.99"},
	{"ingredients/house-balsam.md", "access: members", "access: open"},
	{"ingredients/house-balsam.md", "What the hedge gives.", "What the hedge gives in May."},
	{"ingredients/scents/cedarwood-fragrance.md", "access: maker", "access: open"},
	{"ingredients/scents/cedarwood-fragrance.md", "Limonene: 3 %", "Limonene: 3 %, Linalool: 2 %"},
	{"ingredients/distilled-water.md", "name: Distilled water", "name: Distilled water\nsummary: Clear."},
	{"notes/how-we-weigh.md", "title: How we weigh", "title: How to weigh"},
	{"notes/how-we-weigh.md", "title: How we weigh", "access: maker\ntitle: How we weigh"},
	{"notes/clean-jars.md", "Boil them.", "Boil them well."},
	{"notes/clean-jars.md", "access: members", "access: open"},
	{"batches/hc-260601-1.md", "weighed: 7.6 g", "weighed: 7.9 g"},
	{"batches/hc-260601-1.md", "size: 250 g", "version: Night version\nsize: 300 g"},
	{"batches/hc-260601-1.md", "yield: 243 g\n", ""},
	{"batches/hc-260601-1.md", "Cedarwood fragrance:", "House balsam:"},
	{"batches/hc-260601-1.md", "clean-jars.md", "how-we-weigh.md"},
	{"batches/2026/gb-260701-1.md", "target: 125 g", "target: 130 g"},
	{"batches/2026/gb-260701-1.md", "recipe: gate-balm", "recipe: elbow-oil"},
	{"ingredients/glycerin.md", "holds: 5 g", "holds: 7 g"},
	{"ingredients/glycerin.md", "expires: 2027-01-31", "expires: 2026-07-31"},
	{"handbook.yaml", "batches:", "tolerance: 2 %\nbatches:"},
	{"handbook.yaml", "title: The hedge", "title: The high hedge"},
	{"handbook.yaml", "labour: 15", "labour: 16"},
	{"handbook.yaml", "currency: EUR", "currency: GBP"},
	{"handbook.yaml", "reads: 0.01 g", "reads: 0.1 g"},
	{"handbook.yaml", "batches: [100 g, 250 g]", "batches: [100 g, 500 g]"},
	{"handbook.yaml", "  - Soaps", "  - Soaps\n  - Salts"},
	{"handbook.yaml", "about: Oil and water", "about: Water and oil"},
	{"handbook.yaml", "batches:", "access: maker\nbatches:"},
	{"handbook.yaml", "batches:", "access: members\nbatches:"},
	{"handbook.yaml", "batches:", "address: https://hedge.example/\nbatches:"},
	{"pictures/hedgerow.svg", "0 0 40 20", "0 0 20 40"},
	{"pictures/hedgerow.svg", "h40", "h39"},
	{"pictures/balm.svg", "0 0 30 30", "0 0 30 31"},
	{"pictures/balm.svg", "h30", "h29"},
}

// broken swaps each make a problem.
var broken = []swap{
	{"recipes/hand-cream.md", "Glycerin: 3 %", "Glycerin: 3 drops"},
	{"recipes/hand-cream.md", "title: Hand cream", "titel: Hand cream"},
	{"recipes/hand-cream.md", "splits:", "splits: ["},
	{"recipes/hand-cream.md", ":amount[Water]", ":amount[Watre]"},
	{"recipes/hand-cream.md", "shelf: Creams", "shelf: Cremes"},
	{"recipes/hand-cream.md", "---\nPour", "Pour"},
	{"recipes/gate-balm.md", "(balm.svg)", "(blam.svg)"},
	{"recipes/gate-balm.md", "from 50 g Beeswax", "from 50 g Bees"},
	{"recipes/hedge-bar.md", "(gate-balm.md)", "(gate-palm.md)"},
	{"recipes/hedge-bar.md", "alkali: sodium hydroxide", "alkali: soda"},
	{"recipes/elbow-oil.md", "House balsam: 10 ml", "House balsam: 10"},
	{"recipes/trials/moon-cream.md", "product: body lotion", "product: moon lotion"},
	{"ingredients/sunflower-oil.md", "density: 0.92 g/ml", "density: heavy"},
	{"ingredients/sunflower-oil.md", "(../notes/how-we-weigh.md)", "(../notes/how-we-way.md)"},
	{"ingredients/sunflower-oil.md", "name: Sunflower oil", "name: Lodge oil"},
	{"ingredients/glycerin.md", "name: Vegetable", "nmae: Vegetable"},
	{"ingredients/glycerin.md", "also: [glycerine, glycerin]", "also: [glycerine, House balsam]"},
	{"ingredients/house-balsam.md", "density: 1.02 g/ml\n", ""},
	{"ingredients/house-balsam.md", "name: House balsam", "name: Lodge balsam"},
	{"ingredients/house-balsam.md", "access: members", "access: [members"},
	{"ingredients/emulsifying-wax.md", "hand-cream.md", "hnad-cream.md"},
	{"notes/clean-jars.md", "title: Clean jars", "title:"},
	{"notes/clean-jars.md", "(hedgerow.svg)", "(nothing.svg)"},
	{"notes/how-we-weigh.md", "Start with", ":amount[Water] Start with"},
	{"batches/hc-260601-1.md", "recipe: hand-cream", "recipe: hand-craem"},
	{"batches/hc-260601-1.md", "lot: [G-1, G-2]", "lot: [G-1, G-3]"},
	{"batches/hc-260601-1.md", "made: 2026-06-01", "made: 2026-04-01"},
	{"batches/hc-260601-1.md", "weighed: 12.5 g", "weighed: 12.5 ml"},
	{"batches/2026/gb-260701-1.md", "batch: GB-260701-1", "batch: HC-260601-1"},
	{"batches/2026/gb-260701-1.md", "from 50 g Beeswax", "from 50 g Bees"},
	{"ingredients/glycerin.md", "lot: G-1,", "lot: G-4,"},
	{"handbook.yaml", "  - Balms\n", ""},
	{"handbook.yaml", "title: The hedge", "title: [The hedge"},
	{"handbook.yaml", "reads: 0.01 g", "reads: fine"},
	{"handbook.yaml", "labour: 15 per hour", "labour: 15"},
	{"handbook.yaml", "name: Creams, about", "name: [], about"},
}

// extras are files that come and go.
var extras = map[string]string{
	"ingredients/bees.md":              "---\nname: Beeswax, yellow\nalso: [Beeswax]\nrole: wax\n---\nFrom our hives.\n",
	"ingredients/jojoba.md":            "---\nname: Jojoba\nalso: [Simmondsia Chinensis Seed Oil]\ndensity: 0.87 g/ml\n---\nA wax.\n",
	"ingredients/shea.md":              "---\nname: Hedge shea\ninci: {Butyrospermum Parkii Butter: 100 %}\n---\nSoft.\n",
	"ingredients/lye.md":               "---\nname: Sodium hydroxide\nsummary: Lye.\ninci: {Sodium Hydroxide: 100 %}\nrole: alkali\n---\nCaustic.\n",
	"ingredients/moon-dust.md":         "---\nname: Moon dust\nrole: clay\n---\nGrey.\n",
	"ingredients/unused.md":            "---\nname: Hedge pollen\n---\nYellow.\n",
	"ingredients/candelilla-wax.md":    "---\nname: Grey resin\nrole: wax\n---\nHas a name of the catalogue for its address.\n",
	"ingredients/castor-oil.md":        "---\nname: Castor oil\naccess: maker\nrole: oil\n---\nThick.\n",
	"ingredients/faulty.md":            "---\nnam: Moon dust\n---\nNever good.\n",
	"ingredients/balsam-too.md":        "---\nname: House balsam\n---\nAnother of the name.\n",
	"recipes/salt.md":                  "---\ntitle: Salt\nproduct: bath salts\nshelf: Soaps\nformula:\n  - phase: All\n    weigh: {Sea salt: q.s., Glycerin: 1 %}\n---\nMix.\n",
	"recipes/never-good.md":            "---\ntitle: Never\n---\nNo formula.\n",
	"recipes/trials/gate-balm.md":      "---\ntitle: Gate balm too\nproduct: balm\nshelf: Balms\nformula:\n  - phase: All\n    weigh: {Sunflower oil: q.s.}\n---\nAn address twice.\n",
	"recipes/Shouting.md":              "---\ntitle: Shouting\nproduct: balm\nshelf: Balms\nformula:\n  - phase: All\n    weigh: {Sunflower oil: q.s.}\n---\nA bad address.\n",
	"recipes/_draft.md":                "no page",
	"recipes/lost.markdown":            "no page",
	"recipes/balm.svg":                 `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 5 5"><path d="M0 0h5"/></svg>`,
	"notes/hedgerow.svg":               `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 6 6"><path d="M0 0h6"/></svg>`,
	"notes/deep/more.md":               "---\ntitle: More\n---\nSee [jars](../clean-jars.md).\n",
	"pictures/spare.svg":               "<svg/>",
	"pictures/Spare.svg":               "<svg/>",
	"handbook.yml":                     "title: Of the wrong name\n",
	"readme.txt":                       "Nothing.\n",
	"batches/so-1.md":                  "---\nbatch: SO-1\nrecipe: salt\nsize: 1 kg\n---\n",
	"batches/hc-260601-2.md":           "---\nbatch: HC-260601-2\nrecipe: hand-cream\nsize: 100 g\nmade: 2026-06-03\nweighed:\n  Glycerin: {weighed: 3 g, lot: G-2}\n---\nOn the bench.\n",
	"ingredients/scents/rosewater.md":  "---\nname: Rose water\naccess: maker\n---\nNot used.\n",
	"recipes/trials/deep/hand-balm.md": "---\ntitle: Hand balm\nproduct: balm\nshelf: Balms\nformula:\n  - phase: All\n    weigh: {Sunflower oil: 60 ml, House balsam: 5 ml}\n---\nStir :amount[All].\n",
}

// A deed is something that a maker does; it gives the files that it touched, none where it could not be done.
type deed func(w *World, r *rand.Rand) []string

func deeds() map[string]deed {
	return map[string]deed{
		"sound":   func(w *World, r *rand.Rand) []string { return w.swap(pick(r, sound)) },
		"break":   func(w *World, r *rand.Rand) []string { return w.swap(pick(r, broken)) },
		"extra":   func(w *World, r *rand.Rand) []string { return w.extra(pick(r, slices.Sorted(maps.Keys(extras)))) },
		"delete":  func(w *World, r *rand.Rand) []string { return w.toggle(pick(r, slices.Sorted(maps.Keys(w.Original)))) },
		"rename":  func(w *World, r *rand.Rand) []string { return w.renamed(pick(r, w.Files())) },
		"move":    (*World).moveFolder,
		"re-save": (*World).resave,
		"cut":     (*World).cut,
		"link":    (*World).link,
	}
}

func pick[T any](r *rand.Rand, all []T) T { return all[r.IntN(len(all))] }

// swap makes a change or takes it back.
func (w *World) swap(s swap) []string {
	raw, err := os.ReadFile(w.Path(s.file))
	if err != nil {
		return nil // it is not there, or a link to nowhere is
	}
	text := string(raw)
	switch {
	case s.now != "" && strings.Contains(text, s.now):
		w.Write(s.file, strings.Replace(text, s.now, s.old, 1))
	case strings.Contains(text, s.old):
		w.Write(s.file, strings.Replace(text, s.old, s.now, 1))
	default:
		return nil
	}
	return []string{s.file}
}

func (w *World) extra(file string) []string {
	if w.Has(file) {
		w.Remove(file)
	} else {
		w.Write(file, extras[file])
	}
	return []string{file}
}

// toggle takes a file away or brings it back.
func (w *World) toggle(file string) []string {
	if w.Has(file) {
		w.Remove(file)
	} else {
		w.Write(file, w.Original[file])
	}
	return []string{file}
}

// renamed gives a file another name, which is sometimes a link's end and sometimes not.
func (w *World) renamed(file string) []string {
	if file == "handbook.yaml" {
		return nil
	}
	ending := path.Ext(file)
	to := strings.TrimSuffix(file, ending) + "-renamed" + ending
	if base, was := strings.CutSuffix(strings.TrimSuffix(file, ending), "-renamed"); was {
		to = base + ending
	}
	if w.Has(to) {
		return nil
	}
	w.Rename(file, to)
	return []string{file, to}
}

// moveFolder gives a folder another name or place.
func (w *World) moveFolder(r *rand.Rand) []string {
	from, to := "recipes/trials", "recipes/attic"
	if r.IntN(2) == 0 {
		from, to = "ingredients/scents", "ingredients/cellar/scents"
	}
	if !w.Has(from) {
		from, to = to, from
	}
	if !w.Has(from) || w.Has(to) {
		return nil
	}
	changed := append([]string{from, to}, w.below(from)...)
	w.Rename(from, to)
	return append(changed, w.below(to)...)
}

// resave saves a file in another way, or just again.
func (w *World) resave(r *rand.Rand) []string {
	var changed []string
	for range 1 + r.IntN(6) {
		file := pick(r, w.Files())
		raw, err := os.ReadFile(w.Path(file))
		if err != nil {
			continue
		}
		text := string(raw)
		switch r.IntN(3) {
		case 0:
			text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", "\r\n")
		case 1:
			text = "\uFEFF" + strings.TrimPrefix(text, "\uFEFF")
		}
		w.Write(file, text)
		changed = append(changed, file)
	}
	return changed
}

// cut saves a file in part, or empty, or with a byte that no text has.
func (w *World) cut(r *rand.Rand) []string {
	file := pick(r, w.Files())
	raw, err := os.ReadFile(w.Path(file))
	if err != nil || len(raw) == 0 {
		return nil
	}
	switch r.IntN(3) {
	case 0:
		raw = nil
	case 1:
		raw = raw[:r.IntN(len(raw))]
	case 2:
		raw[r.IntN(len(raw))] = 0xFF
	}
	w.Write(file, string(raw))
	return []string{file}
}

// link puts a link that leads nowhere in the place of a picture.
func (w *World) link(r *rand.Rand) []string {
	file := pick(r, []string{"pictures/hedgerow.svg", "pictures/lost.svg", "notes/lost.md"})
	w.Remove(file)
	if r.IntN(2) == 0 {
		require.NoError(w.t, os.Symlink("nowhere-at-all", w.Path(file)))
	}
	return []string{file}
}

// Step does one or two things at random and says what they were.
func (w *World) Step(r *rand.Rand, troubled bool) (what string, changed []string) {
	if troubled && r.IntN(3) == 0 {
		return "mend", w.Mend()
	}
	weighted := []string{
		"sound", "sound", "sound", "sound", "sound", "sound", "break", "break", "extra", "extra", "delete", "rename", "move", "re-save", "cut", "link",
	}
	all := deeds()
	for range 1 + r.IntN(5)/4 {
		name := pick(r, weighted)
		files := all[name](w, r)
		what += fmt.Sprintf("%s %v; ", name, files)
		changed = append(changed, files...)
	}
	slices.Sort(changed)
	return what, slices.Compact(changed)
}
