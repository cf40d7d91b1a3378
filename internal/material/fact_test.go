package material_test

import (
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"larkrow.example/stillroom/internal/material"
)

// A fact is worked out once for a material of an index, its own or the catalogue's, and each time for any other: for a copy of one, too.
func TestFact(t *testing.T) {
	t.Parallel()
	var worked atomic.Int64
	names := material.NewFact(func(m *material.Material) string {
		worked.Add(1)
		return "<" + m.Name + ">"
	})
	own, common := &material.Material{ID: "a", Name: "A"}, material.Common().ByID("castor-oil")
	x := material.NewIndex([]*material.Material{own}).Over(material.Common())
	for range 3 {
		assert.Equal(t, "<A>", names.Of(own, x))
		assert.Equal(t, "<"+common.Name+">", names.Of(common, x))
	}
	assert.EqualValues(t, 2, worked.Load())

	like := *own
	like.Name = "B"
	assert.Equal(t, "<B>", names.Of(&like, x))
	assert.Equal(t, "<B>", names.Of(&like, x))
	assert.Equal(t, "<A>", names.Of(own, nil))
	assert.EqualValues(t, 5, worked.Load())

	assert.Equal(t, "<B>", names.Of(&like, material.NewIndex([]*material.Material{&like}))) // without a catalogue
	again := material.NewIndex([]*material.Material{own}).Over(material.Common())
	worked.Store(0)
	assert.Equal(t, "<A>", names.Of(own, again))
	assert.Equal(t, "<"+common.Name+">", names.Of(common, again))
	assert.EqualValues(t, 1, worked.Load(), "the catalogue's are kept, those of another index are not")

	var all sync.WaitGroup
	for range 8 {
		all.Go(func() { assert.Equal(t, "<A>", names.Of(own, again)) })
	}
	all.Wait()
}

// Key is lower case with single spaces, whatever the name.
func TestKeyAny(t *testing.T) {
	t.Parallel()
	letters := rapid.SampledFrom([]rune{' ', ' ', '\t', '\u00a0', '\u0085', 'a', 'B', 'É', 'İ', '\u200b', 0x1f, 0x7f, '-'})
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringOf(letters).Draw(t, "name")
		assert.Equal(t, strings.ToLower(strings.Join(strings.Fields(name), " ")), material.Key(name), "%q", name)
	})
}

// A name means the same however often it is asked for.
func TestCandidatesAgain(t *testing.T) {
	t.Parallel()
	x := material.NewIndex([]*material.Material{{ID: "a", Name: "Our castor oil", Base: "castor-oil"}}).Over(material.Common())
	for _, name := range []string{"castor oil", "Castor Oil", "our Castor oil", "oil, castor", "Clay", "nothing of the kind", ""} {
		first := x.Candidates(name)
		assert.Equal(t, first, x.Candidates(name), name)
		assert.Equal(t, first, material.NewIndex([]*material.Material{{ID: "a", Name: "Our castor oil", Base: "castor-oil"}}).Over(material.Common()).Candidates(name), name)
	}
}
