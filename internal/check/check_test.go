package check_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// subject makes what the checks look at: lines "NAME: AMOUNT" with the role of the material behind each ("" where it is known
// and has none, "?" where nothing is known), and batches weighed on the scale that a recipe has by default.
func subject(t *testing.T, lines [][2]string, batches []string, fills ...formula.Fill) *check.Subject {
	t.Helper()
	phase := formula.Phase{Name: "All"}
	s := &check.Subject{Fills: fills}
	for _, l := range lines {
		name, written, _ := strings.Cut(l[0], ": ")
		amount, err := quantity.ParseAmount(written)
		require.NoError(t, err)
		var m *material.Material
		if l[1] != "?" {
			m = &material.Material{Name: name, Roles: strings.Fields(l[1]), Composition: []material.Constituent{{INCI: name, Percent: quantity.Int(100)}}}
		}
		phase.Lines = append(phase.Lines, formula.Line{Ingredient: formula.Ingredient{Name: name, Fixed: m != nil && m.Fixed()}, Amount: amount})
		s.Materials = append(s.Materials, m)
	}
	v, problems := formula.Solve(formula.Formula{Phases: []formula.Phase{phase}})
	require.NoError(t, problems.Err())
	s.Version = v
	for _, text := range batches {
		s.Batches = append(s.Batches, weighed(t, s, text))
	}
	return s
}

func weighed(t testing.TB, s *check.Subject, text string) check.Batch {
	t.Helper()
	b, err := quantity.ParseBatch(text)
	require.NoError(t, err)
	made := check.Batch{Written: text}
	if made.Sized, err = s.Version.Size(b, s.Fills); err != nil {
		require.ErrorAs(t, err, &made.Missing)
		return made
	}
	made.Column = s.Version.Weigh(made.Sized, s.Scale)
	return made
}

// brief writes a finding as "code level subject: value limit unit".
func brief(f check.Finding) string {
	figures := strings.Join(strings.Fields(f.Value+" "+f.Limit+" "+f.Unit), " ")
	return strings.TrimSpace(f.Code + " " + string(f.Level) + " " + f.Subject + ": " + figures)
}

func briefs(findings []check.Finding) []string {
	var all []string
	for _, f := range findings {
		all = append(all, brief(f))
	}
	return all
}

// coded gives the findings of some codes.
func coded(findings []check.Finding, codes ...string) []check.Finding {
	var some []check.Finding
	for _, f := range findings {
		if slices.Contains(codes, f.Code) {
			some = append(some, f)
		}
	}
	return some
}

// The step of the scale may be 5 % of a weight and no more: sensitivity × 100 ÷ 5, the least weighable quantity
// (University of North Carolina, Pharmaceutics and Compounding Laboratory, "Weighing"). On 0.1 g that is 2 g.
func TestBelowScale(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, amount, role string
		batches            []string
		want               []string
	}{
		{"well above", "5 %", "oil", []string{"100 g"}, nil},
		{"just above", "2.001 %", "oil", []string{"100 g"}, nil},
		{"at the limit", "2 %", "oil", []string{"100 g"}, nil},
		{"just below", "1.999 %", "oil", []string{"100 g"}, []string{"below-scale caution Thing: 5.003 5 %"}},
		{"well below", "0.5 %", "oil", []string{"100 g"}, []string{"below-scale caution Thing: 20 5 %"}},
		{"unknown", "0.5 %", "?", []string{"100 g"}, []string{"below-scale caution Thing: 20 5 %", "unknown-material caution Thing:"}},
		{"a preservative", "0.5 %", "preservative", []string{"100 g"}, []string{"below-scale stop Thing: 20 5 %"}},
		{"a preservative at the limit", "2 %", "preservative", []string{"100 g"}, nil},
		{"an alkali", "0.5 %", "alkali", []string{"100 g"}, []string{"below-scale stop Thing: 20 5 %"}},
		{"a fragrance", "0.5 %", "fragrance", []string{"100 g"}, []string{"below-scale caution Thing: 20 5 %"}},
		{"one finding for several batches, the worst of them", "0.5 %", "oil", []string{"1 kg", "100 g", "50 g"}, []string{"below-scale caution Thing: 40 5 %"}},
		{"no batch", "0.5 %", "oil", nil, nil},
		{"a batch that cannot be worked out", "0.5 %", "oil", []string{"from 30 g Beeswax"}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			s := subject(t, [][2]string{{"Water: q.s.", "water"}, {"Thing: " + test.amount, test.role}}, test.batches)
			found := coded(check.Run(s), "below-scale", "unknown-material")
			assert.Equal(t, test.want, briefs(found))
			if len(found) > 0 {
				assert.Equal(t, []int{1}, found[0].Items)
				assert.NotEmpty(t, found[0].Source)
				assert.NotEmpty(t, found[0].Mend)
				assert.Equal(t, "base", found[0].Version)
			}
		})
	}
}

func TestBelowScaleNamesTheBatches(t *testing.T) {
	t.Parallel()
	found := coded(check.Run(subject(t, [][2]string{{"Water: q.s.", "water"}, {"Gum: 0.5 %", ""}}, []string{"1 kg", "100 g", "50 g"})), "below-scale")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "in the batch of 100 g and 50 g,")
	assert.NotContains(t, found[0].Message, "1 kg")
}

func TestBelowScaleOfNothing(t *testing.T) {
	t.Parallel()
	assert.Empty(t, coded(check.Run(subject(t, [][2]string{{"Water: q.s.", "water"}, {"Oil: 100 %", "oil"}}, []string{"100 g"})), "below-scale"), "what is left out is not weighed")
}

func TestTotal(t *testing.T) {
	t.Parallel()
	const make1 = "Correct the percents, or make one ingredient q.s. so that it takes up the balance."
	tests := []struct {
		name, amount string
		want, mend   string
	}{
		{"short", "39.999 %", "total-not-100 stop : 99.999 100 %", make1},
		{"short by very little", "39.9999 %", "total-not-100 stop : 99.9999 100 %", make1},
		{"right", "40 %", "", ""},
		{"past by very little", "40.00001 %", "total-not-100 stop : 100.00001 100 %", "Lower the percents by 0.00001 in all, or make one ingredient q.s."},
		{"past", "40.001 %", "total-not-100 stop : 100.001 100 %", "Lower the percents by 0.001 in all, or make one ingredient q.s."},
		{"q.s.", "q.s.", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			found := coded(check.Run(subject(t, [][2]string{{"Water: 60 %", ""}, {"Oil: " + test.amount, ""}}, nil)), "total-not-100")
			if test.want == "" {
				assert.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			assert.Equal(t, test.want, brief(found[0]))
			assert.Equal(t, test.mend, found[0].Mend)
			assert.True(t, found[0].Stops())
		})
	}
}

func TestUnknownMaterial(t *testing.T) {
	t.Parallel()
	found := coded(check.Run(subject(t, [][2]string{{"Water: q.s.", "water"}, {"Moss: 1 %", "?"}, {"Fern: 1 %", "?"}, {"moss: 2 %", "?"}}, nil)), "unknown-material")
	assert.Equal(t, []string{"unknown-material caution Moss:", "unknown-material caution Fern:"}, briefs(found), "each once")
	assert.Equal(t, []int{1, 3}, found[0].Items, "with all its lines")
	assert.Equal(t, []int{2}, found[1].Items)
}

func TestFillUnknown(t *testing.T) {
	t.Parallel()
	known := formula.Fill{Container: "tin", Takes: quantity.Grams(quantity.Int(50))}
	unknown := formula.Fill{Container: "jar", Unknown: "the density is not known"}
	tests := []struct {
		name    string
		batches []string
		fills   []formula.Fill
		want    []string // subjects and messages
	}{
		{"a known fill", []string{"100 g", "2 × tin"}, []formula.Fill{known}, nil},
		{"no fill, no containers", []string{"100 g"}, nil, nil},
		{"no fill", []string{"2 × tin"}, nil, []string{"2 × tin: The batch of 2 × tin cannot be worked out: nothing says what a tin takes."}},
		{"no fill, two batches", []string{"2 × tin", "3 × tin"}, nil, []string{"2 × tin and 3 × tin: The batch of 2 × tin and 3 × tin cannot be worked out: nothing says what a tin takes."}},
		{"two containers", []string{"2 × tin", "3 × jar"}, nil, []string{
			"2 × tin: The batch of 2 × tin cannot be worked out: nothing says what a tin takes.",
			"3 × jar: The batch of 3 × jar cannot be worked out: nothing says what a jar takes.",
		}},
		{"an unknown fill that no batch needs", []string{"100 g"}, []formula.Fill{unknown}, []string{"jar: How many containers a batch fills cannot be worked out: the density is not known."}},
		{"an unknown fill, once for all that need it", []string{"100 g", "2 × jar", "4 × jar"}, []formula.Fill{unknown}, []string{"2 × jar and 4 × jar: The batch of 2 × jar and 4 × jar cannot be worked out: the density is not known."}},
		{"a batch that is missing for another reason", []string{"from 30 g Beeswax"}, nil, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			for _, f := range coded(check.Run(subject(t, [][2]string{{"Water: q.s.", "water"}}, test.batches, test.fills...)), "fill-unknown") {
				assert.Equal(t, "fill-unknown", f.Code)
				assert.Equal(t, check.Caution, f.Level)
				assert.Regexp(t, `^\p{Lu}.*[^.?][.?]$`, f.Mend, "a sentence")
				got = append(got, f.Subject+": "+f.Message)
			}
			assert.Equal(t, test.want, got)
		})
	}
}

func TestRunSortsTheWorstFirst(t *testing.T) {
	t.Parallel()
	s := subject(t, [][2]string{{"Water: 90 %", "?"}, {"Gum: 0.5 %", ""}, {"Guard: 0.5 %", "preservative"}}, []string{"100 g", "2 × tin"})
	assert.Equal(t, []string{
		"total-not-100 stop : 91 100 %",
		"below-scale stop Guard: 18.2 5 %",
		"below-scale caution Gum: 18.2 5 %",
		"unknown-material caution Water:",
		"fill-unknown caution 2 × tin:",
	}, briefs(coded(check.Run(s), "total-not-100", "below-scale", "unknown-material", "fill-unknown")))
}

func TestAccept(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		accepted []check.Acceptance
		want     []string // of both versions: code, subject and the reason
	}{
		{"nothing", nil, []string{"base below-scale Gum ", "base unknown-material Moss ", "Night below-scale Gum ", "Night below-scale Rose "}},
		{
			"a code, everywhere",
			[]check.Acceptance{{Code: "below-scale", Because: "diluted"}},
			[]string{"base below-scale Gum diluted", "base unknown-material Moss ", "Night below-scale Gum diluted", "Night below-scale Rose diluted"},
		},
		{
			"about a subject",
			[]check.Acceptance{{Code: "below-scale", About: " ROSE", Because: "diluted"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss ", "Night below-scale Gum ", "Night below-scale Rose diluted"},
		},
		{
			"of a version",
			[]check.Acceptance{{Code: "below-scale", Version: "night", Because: "diluted"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss ", "Night below-scale Gum diluted", "Night below-scale Rose diluted"},
		},
		{
			"about a subject of a version",
			[]check.Acceptance{{Code: "below-scale", About: "Gum", Version: "base", Because: "diluted"}},
			[]string{"base below-scale Gum diluted", "base unknown-material Moss ", "Night below-scale Gum ", "Night below-scale Rose "},
		},
		{
			"two codes",
			[]check.Acceptance{{Code: "below-scale", About: "Rose", Because: "diluted"}, {Code: "unknown-material", Because: "it grows here"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss it grows here", "Night below-scale Gum ", "Night below-scale Rose diluted"},
		},
		{
			"a code that is not found",
			[]check.Acceptance{{Code: "total-not-100", Because: "so what"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss ", "base accept-unused total-not-100 ", "Night below-scale Gum ", "Night below-scale Rose "},
		},
		{
			"a subject of which it is not found",
			[]check.Acceptance{{Code: "unknown-material", About: "Fern", Because: "so what"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss ", "base accept-unused unknown-material ", "Night below-scale Gum ", "Night below-scale Rose "},
		},
		{
			"a version in which it is not found",
			[]check.Acceptance{{Code: "unknown-material", Version: "Night", Because: "so what"}},
			[]string{"base below-scale Gum ", "base unknown-material Moss ", "base accept-unused unknown-material ", "Night below-scale Gum ", "Night below-scale Rose "},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			versions := [][]check.Finding{
				{{Code: "below-scale", Version: "base", Subject: "Gum", Level: check.Stop}, {Code: "unknown-material", Version: "base", Subject: "Moss", Level: check.Caution}},
				{{Code: "below-scale", Version: "Night", Subject: "Gum", Level: check.Stop}, {Code: "below-scale", Version: "Night", Subject: "Rose", Level: check.Stop}},
			}
			check.Accept(versions, test.accepted)
			var got []string
			for i, findings := range versions {
				for _, f := range findings {
					got = append(got, []string{"base", "Night"}[i]+" "+f.Code+" "+f.Subject+" "+f.Accepted)
					assert.Equal(t, f.Level == check.Stop && f.Accepted == "", f.Stops())
				}
			}
			assert.Equal(t, test.want, got)
		})
	}
}

func TestMarkAccepted(t *testing.T) {
	t.Parallel()
	findings := []check.Finding{{Code: "below-scale", Subject: "Gum"}, {Code: "phototoxic", Subject: "Lime"}}
	check.MarkAccepted(findings, []check.Acceptance{{Code: "phototoxic", Because: "rinsed off"}, {Code: "spoils", Because: "kept cold"}})
	assert.Equal(t, []check.Finding{{Code: "below-scale", Subject: "Gum"}, {Code: "phototoxic", Subject: "Lime", Accepted: "rinsed off"}}, findings)
	check.Accept(nil, []check.Acceptance{{Code: "total-not-100"}}) // no versions: nowhere to put a note
}

// The codes are those of the handbook's table of findings, and no others.
func TestCodes(t *testing.T) {
	t.Parallel()
	const table = `total-not-100 above-legal-maximum banned-substance restricted-see-entry above-usual-maximum below-usual-minimum
		no-preservative preservation-gap preservative-ph fragrance-above-maximum fragrance-no-certificate phototoxic
		allergen-to-declare will-discolour added-too-hot no-emulsifier too-little-emulsifier emulsion-unbalanced
		lye-excess superfat-unusual lye-strength-unusual below-scale fill-unknown volume-without-density keeps-too-long spoils
		caustic dust hot flammable slippery ingestible-lookalike drug-claim infant eye-area lips unknown-material colourant-use
		accept-unused`
	codes := check.Codes()
	assert.ElementsMatch(t, strings.Fields(table), codes)
	codes[0] = "spoilt"
	assert.NotContains(t, check.Codes(), "spoilt", "the list is the caller's own")
}
