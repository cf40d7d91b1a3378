package check_test

import (
	"regexp/syntax"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
)

// What a claim is: US FD&C Act 201(g)(1), EU Reg. 1223/2009 Art. 2 and 20; from memory. The sentences are ours.
func TestDrugClaims(t *testing.T) {
	t.Parallel()
	tests := []struct {
		words string
		want  []string
	}{
		{"A cream that treats eczema.", []string{"treats eczema"}},
		{"It cures athlete's foot!", []string{"cures athlete's foot"}},
		{"Prevents nappy rash and soothes sunburn.", []string{"Prevents nappy rash", "soothes sunburn"}},
		{"Heals cracked hands.", []string{"Heals"}},
		{"A healing salve for gardeners.", []string{"healing"}},
		{"Natural zinc, SPF 30.", []string{"SPF 30"}},
		{"A light sunscreen.", []string{"sunscreen"}},
		{"Antibacterial and anti-inflammatory.", []string{"Antibacterial", "anti-inflammatory"}},
		{"Good for acne.", []string{"Good for acne"}},
		{"Eczema balm", []string{"Eczema balm"}},
		{"For acne-prone skin.", []string{"For acne"}},
		{"Relieves muscle pain after a walk.", []string{"Relieves muscle pain"}},
		{"It helps to fade scars.", []string{"helps to fade scars"}},
		{"It treats everything.", []string{"treats everything"}},
		{"Not only soft: it heals.", []string{"heals"}},
		{"It not only heals, it smells of hay.", []string{"heals"}},
		{"Heals, with no smell at all.", []string{"Heals"}},
		{"With no perfume, it heals.", []string{"heals"}},
		{"It kills germs.", []string{"kills germs"}},
		{"**Heals** _and_ heals.", []string{"Heals"}},
		{"Stops sweating for a day.", []string{"Stops sweating"}},
		{"Keeps mosquitoes off; repels mosquitoes.", []string{"repels mosquitoes"}},

		{"", nil},
		{"Let the soap cure for five weeks; weigh it when it has cured.", nil},
		{"The cure takes 4 weeks. Curing is slow.", nil},
		{"Treat yourself. A treat for tired hands.", nil},
		{"Trick or treat.", nil},
		{"A treatment of the jars with alcohol.", nil},
		{"Stir until 30 °C to prevent grains. Wax prevents leaks.", nil},
		{"It does not heal, treat or cure anything.", nil},
		{"It doesn’t prevent infections.", nil},
		{"No SPF: this is not a sunscreen.", nil},
		{"It has no SPF.", nil},
		{"Never promise that it cures acne.", nil},
		{"People with eczema should ask a doctor.", nil},
		{"If a rash appears, stop using it.", nil},
		{"Good for heels and knuckles; wealth and health.", nil},
		{"It does not stop anyone from sweating, and does not claim to.", nil},
		{"Not on broken or sunburnt skin, not on wounds.", nil},
		{"Contains oats. Not for people with diabetes.", nil},
		{"A preservative holds bacteria, yeast and mould.", nil},
		{"Hot wax burns. Put out a wax fire with a lid.", nil},
	}
	for _, test := range tests {
		t.Run(test.words, func(t *testing.T) {
			t.Parallel()
			s := made(t, "balm", []string{"Caprylic/capric triglyceride: 100 %"})
			s.Words = test.words
			var got []string
			for _, f := range coded(check.Run(s), "drug-claim") {
				assert.Equal(t, check.Caution, f.Level)
				assert.Contains(t, f.Source, "from memory")
				got = append(got, f.Subject)
			}
			assert.Equal(t, test.want, got)
		})
	}
	s := made(t, "balm", []string{"Caprylic/capric triglyceride: 100 %"})
	s.Words = "Plain title\nA summary\n\n1. Melt it.\n2. It heals\n   cracks.\n\nNot a word more."
	found := coded(check.Run(s), "drug-claim")
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "“It heals cracks”")
}

// The words that are looked for first lose no promise: none of the patterns matches a text without one.
func TestEveryPromiseHasATellingWord(t *testing.T) {
	t.Parallel()
	sentences := []string{
		"treats anything", "cures all ills", "heals skin problems", "prevents skin diseases", "heal", "healing", "antibacterial", "anti-microbial",
		"antifungal", "antiviral", "antiseptic", "anti-inflammatory", "antiperspirant", "kills germs", "kill bacteria", "pain killer", "painkiller",
		"analgesic", "sunscreen", "sun screen", "sunblock", "sun block", "SPF", "SPF30", "spf 50+", "sun protection factor", "cure-all",
		"medicinal", "THERAPEUTIC", "stops sweat", "reduces ageing", "prevents aging",
	}
	for _, pattern := range check.Ailments() {
		for _, ailment := range spelled(t, pattern) {
			sentences = append(sentences, "relief for "+ailment, ailment+" balm")
		}
	}
	require.Greater(t, len(sentences), 150)
	for _, sentence := range sentences {
		byPatterns, found := check.Promises(sentence)
		assert.True(t, byPatterns, sentence)
		assert.NotEmpty(t, found, sentence)
	}
}

// spelled gives the ways to spell what a small pattern matches, with and without each part that may be left out.
func spelled(t *testing.T, pattern string) []string {
	t.Helper()
	r, err := syntax.Parse(pattern, syntax.Perl)
	require.NoError(t, err)
	return ways(r)
}

func ways(r *syntax.Regexp) []string {
	switch r.Op {
	case syntax.OpLiteral:
		return []string{string(r.Rune)}
	case syntax.OpCharClass:
		return []string{string(r.Rune[0])}
	case syntax.OpQuest:
		return append(ways(r.Sub[0]), "")
	case syntax.OpPlus:
		return []string{"knee"}
	case syntax.OpCapture:
		return ways(r.Sub[0])
	case syntax.OpAlternate:
		var all []string
		for _, sub := range r.Sub {
			all = append(all, ways(sub)...)
		}
		return all
	case syntax.OpConcat:
		all := []string{""}
		for _, sub := range r.Sub {
			var longer []string
			for _, begun := range all {
				for _, w := range ways(sub) {
					longer = append(longer, begun+w)
				}
			}
			all = longer
		}
		return all
	}
	return []string{strings.Trim(r.String(), "()")}
}

// Marks of emphasis do not hide a word; words that only look like the beginning of a promise are none.
func TestDrugClaimsMarked(t *testing.T) {
	t.Parallel()
	s := made(t, "balm", []string{"Caprylic/capric triglyceride: 100 %"})
	for text, want := range map[string]int{
		"It he**al**s knuckles.": 1, "A _sun_ *screen*.": 1, "It is a sun\nblock.": 1, "For hair\nloss.": 1, "It is anti-\u017feptic.": 1, "It is anti-fungal.": 1,
		"Antioxidants keep the oil, as sun and loss of water do not.": 0, "Keep it from the sun.": 0, "A loss of a third.": 0, "SPF15": 1,
	} {
		s.Words = text
		assert.Len(t, check.DrugClaims(s), want, text)
	}
}

// Whatever stands before it, a promise in a paragraph of its own is found, and what is quoted was there.
func FuzzDrugClaims(f *testing.F) {
	for _, text := range []string{"", "It does not heal", "treats\r\neczema", "SPF\x00 30", "| heals | acne |", "¿heals?", strings.Repeat("for acne ", 40)} {
		f.Add(text)
	}
	plain := made(f, "balm", []string{"Caprylic/capric triglyceride: 100 %"})
	f.Fuzz(func(t *testing.T, text string) {
		s := *plain
		s.Words = text + "\n\nIt heals knuckles."
		var subjects []string
		for _, found := range coded(check.DrugClaims(&s), "drug-claim") {
			subjects = append(subjects, strings.ToLower(found.Subject))
		}
		assert.Contains(t, subjects, "heals")
		s.Words = strings.Map(func(r rune) rune {
			if r|0x20 >= 'a' && r|0x20 <= 'z' {
				return -1
			}
			return r
		}, text)
		assert.Empty(t, check.DrugClaims(&s))
	})
}
