package label_test

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/label"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A labelCase is a formula and what its label says; testdata/cases.yaml says how it is written.
type labelCase struct {
	Title, Paragraph, Status string
	Product, On, Keeps       string
	Takes                    string
	AsMade                   bool `yaml:"as_made"`
	Materials                map[string]struct {
		Roles     []string
		INCI      yaml.Node
		Allergens yaml.Node
	}
	Formula   []string
	EU, US    string
	Allergens []string
	EUFlags   map[string][]string `yaml:"eu_flags"`
	USFlags   map[string][]string `yaml:"us_flags"`
	EUDoubts  []string            `yaml:"eu_doubts"`
	USDoubts  []string            `yaml:"us_doubts"`
	EUWarns   *[]string           `yaml:"eu_warns"`
	USWarns   *[]string           `yaml:"us_warns"`
	EUNet     string              `yaml:"eu_net"`
	USNet     string              `yaml:"us_net"`
	DateMark  string              `yaml:"date_mark"`
}

func readCases(t testing.TB) []labelCase {
	t.Helper()
	var cases []labelCase
	text, err := os.ReadFile("testdata/cases.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(text, &cases, yaml.WithKnownFields()))
	require.Greater(t, len(cases), 50)
	return cases
}

func TestCases(t *testing.T) {
	t.Parallel()
	for _, c := range readCases(t) {
		t.Run(c.Title, func(t *testing.T) {
			t.Parallel()
			assert.NotEmpty(t, c.Paragraph)
			assert.Contains(t, []string{"read", "memory", "common practice"}, c.Status)
			s := c.subject(t)
			eu, us := copyFor(s, label.EU), copyFor(s, label.US)
			asked := c.check(t, eu, us)
			assert.Positive(t, asked, "the case asks for nothing")
		})
	}
}

// check compares what the case asks for, and says how much that is.
func (c labelCase) check(t *testing.T, eu, us label.Copy) (asked int) {
	wants := func(asks bool, test func()) {
		if asks {
			asked++
			test()
		}
	}
	wants(c.EU != "", func() { assert.Equal(t, c.EU, eu.Ingredients.String()) })
	wants(c.US != "", func() { assert.Equal(t, c.US, us.Ingredients.String()) })
	wants(c.Allergens != nil, func() { assert.Equal(t, c.Allergens, told(eu.Allergens)) })
	wants(c.EUFlags != nil, func() { flagged(t, c.EUFlags, eu) })
	wants(c.USFlags != nil, func() { flagged(t, c.USFlags, us) })
	wants(c.EUDoubts != nil, func() { assert.Equal(t, c.EUDoubts, eu.Doubts) })
	wants(c.USDoubts != nil, func() { assert.Equal(t, c.USDoubts, us.Doubts) })
	wants(c.EUWarns != nil, func() { assert.Equal(t, *c.EUWarns, warned(eu)) })
	wants(c.USWarns != nil, func() { assert.Equal(t, *c.USWarns, warned(us)) })
	wants(c.EUNet != "", func() { assert.Equal(t, c.EUNet, eu.Contents[0].Text) })
	wants(c.USNet != "", func() { assert.Equal(t, c.USNet, us.Contents[0].Text) })
	wants(c.DateMark != "", func() { assert.Equal(t, []string{c.DateMark}, dateMarks(eu)) })
	return asked
}

func (c labelCase) subject(t *testing.T) *label.Subject {
	b := newBench(t)
	for name, m := range c.Materials {
		made := &material.Material{Name: name, Roles: m.Roles, Composition: constituents(t, m.INCI)}
		made.Fragrance.Allergens = constituents(t, m.Allergens)
		made.Fragrance.Known = made.Fragrance.Allergens != nil
		b.materials[name] = made
	}
	for _, line := range c.Formula {
		amount, name, ok := strings.Cut(line, " % ")
		require.True(t, ok, line)
		b.add(amount+" %", strings.Trim(name, `"`))
	}
	productType := c.Product
	if productType == "" {
		productType = "hand cream"
	}
	s := b.subject(productType)
	s.AsMade = c.AsMade
	if c.On != "" {
		day, err := time.Parse(time.DateOnly, c.On)
		require.NoError(t, err)
		s.On = day
	}
	if c.Keeps != "" {
		keeps, err := quantity.ParseDuration(c.Keeps)
		require.NoError(t, err)
		s.Keeps = &keeps
	}
	if c.Takes != "" {
		s.Fills = []formula.Fill{{Container: "jar", Takes: mass(t, c.Takes)}}
	}
	return s
}

func constituents(t *testing.T, n yaml.Node) []material.Constituent {
	t.Helper()
	var all []material.Constituent
	for i := 0; i+1 < len(n.Content); i += 2 {
		all = append(all, material.Constituent{INCI: n.Content[i].Value, Percent: num(t, n.Content[i+1].Value)})
	}
	return all
}

func told(allergens []label.Allergen) []string {
	var all []string
	for _, a := range allergens {
		declare := "no"
		if a.Declare {
			declare = "yes"
		}
		all = append(all, a.Name+" "+a.Percent.String()+" % "+declare)
	}
	return all
}

func flagged(t *testing.T, want map[string][]string, c label.Copy) {
	t.Helper()
	for name, flags := range want {
		i := slices.IndexFunc(c.Ingredients.Entries, func(e label.Entry) bool { return e.Name == name })
		require.GreaterOrEqual(t, i, 0, "no %s in %s", name, c.Ingredients)
		assert.ElementsMatch(t, flags, c.Ingredients.Entries[i].Flags)
	}
}

// warned gives the rules of the warnings, with the condition of one by an annex.
func warned(c label.Copy) []string {
	all := []string{}
	for _, w := range c.Warnings {
		name := w.Basis.ID
		if w.When != "" && c.Market == label.EU {
			name += " when " + w.When
		}
		all = append(all, name)
	}
	return all
}

func dateMarks(c label.Copy) []string {
	var all []string
	for _, l := range c.Lines {
		if regexp.MustCompile(`^eu-(minimum-durability|period-after-opening)$`).MatchString(l.Basis.ID) {
			all = append(all, l.Basis.ID)
		}
	}
	return all
}
