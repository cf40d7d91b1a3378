package site

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// What is to be known of a batch changes with other records, with lots on any ingredient's page and with which recipes there are; where its page
// reads otherwise by a change, the change tells it.
func TestAffectedRemarks(t *testing.T) {
	t.Parallel()
	batch := func(code, recipe, weighed string) string {
		return "---\nbatch: " + code + "\nrecipe: " + recipe + "\nsize: 100 g\nmade: 2026-06-01\nby: WH\nweighed:\n" + weighed + "yield: 99 g\n---\n"
	}
	first := map[string]string{ // the recipe of the third is gone: kneeoil may have meant knee-oil
		"batches/eo-1.md": batch("EO-1", "elbow-oil", "  Hedge oil: {weighed: 90.0 g, lot: H-1}\n  Castor oil: {weighed: 10.0 g}\n"),
		"batches/eo-2.md": batch("EO-2", "elbow-oil", "  Hedge oil: {weighed: 90.0 g, lot: H-1}\n  Castor oil: {weighed: 10.0 g, lot: L-7}\n"),
		"batches/eo-3.md": batch("EO-3", "kneeoil", "  Hedge oil: {weighed: 90.0 g, lot: H-1}\n"),
	}
	without := batch("EO-2", "elbow-oil", "  Hedge oil: {weighed: 90.0 g, lot: H-1}\n  Castor oil: {weighed: 10.0 g}\n")
	for _, row := range []struct {
		name, file, text string
		page             string // the batch whose page reads otherwise
	}{
		{"the one record that names a lot names none now", "batches/eo-2.md", without, "eo-1"},
		{"that record is gone", "batches/eo-2.md", "", "eo-1"},
		{"a page of another material lists the lot", "ingredients/unused.md", "---\nname: Lodge oil\nlots: [{lot: l-7, holds: 50 g}]\n---\nOurs.\n", "eo-2"},
		{"the recipe that may have been meant is gone", "recipes/trials/knee-oil.md", "", "eo-3"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			fsys := benchOf(first)
			reader := handbook.NewReader(fsys)
			h, problems := reader.Read(handbook.Everything)
			book := Prepare(h, problems)
			before := NewProof(book, MakerEdition, defaultTheme(t))
			delete(fsys, row.file)
			if row.text != "" {
				fsys[row.file] = &fstest.MapFile{Data: []byte(row.text)}
			}
			h, problems = reader.Read(handbook.Files(row.file))
			after := NewProof(book.Renew(h, problems), MakerEdition, before.theme)
			for there, back := range map[*Build]*Build{before: after, after: before} {
				told, otherwise := how(Affected(there, back, row.file)), map[string]bool{}
				for _, r := range there.records {
					file := recordPath(r)
					was, has, err := there.Page(file, nil)
					require.NoError(t, err)
					require.True(t, has)
					is, has, err := back.Page(file, nil)
					require.NoError(t, err)
					if has && string(was) != string(is) {
						otherwise[r.Slug] = true
						assert.Contains(t, told, file)
					}
				}
				assert.Contains(t, otherwise, row.page)
			}
		})
	}
}
