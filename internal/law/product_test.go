package law_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/law"
)

func TestFindProduct(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		want  law.Product
		found bool
	}{
		{"hand cream", law.Product{Name: "hand cream", Category: "leave-on", Site: "hands", Fragrance: "5C"}, true},
		{"  Hand  CREAM\n", law.Product{Name: "hand cream", Category: "leave-on", Site: "hands", Fragrance: "5C"}, true},
		{"bar soap", law.Product{Name: "bar soap", Category: "rinse-off", Site: "body", Fragrance: "9"}, true},
		{"lip balm", law.Product{Name: "lip balm", Category: "leave-on", Site: "lips", Fragrance: "1"}, true},
		{"hand", law.Product{}, false},
		{"", law.Product{}, false},
	}
	for _, test := range tests {
		got, found := law.FindProduct(test.name)
		assert.Equal(t, test.found, found, "%q", test.name)
		got.Source, got.Status = "", ""
		assert.Equal(t, test.want, got, "%q", test.name)
	}
}

// Every row of the table is found by its name and is filled in from the words that the checks know.
// The categories are those of the IFRA Standards, 49th Amendment (from memory): 1 to 12, some with a letter.
func TestProductTable(t *testing.T) {
	t.Parallel()
	names := law.ProductNames()
	require.Greater(t, len(names), 40)
	assert.True(t, slices.IsSorted(names))
	fragrance := regexp.MustCompile(`^(1|2|3|4|5[ABCD]|6|7[AB]|8|9|10[AB]|11[AB]|12)$`)
	for _, name := range names {
		p, found := law.FindProduct(name)
		require.True(t, found, name)
		assert.Equal(t, name, p.Name)
		assert.Equal(t, strings.ToLower(name), name)
		assert.Contains(t, []string{"leave-on", "rinse-off", "not on skin"}, p.Category, name)
		assert.Contains(t, []string{"body", "face", "lips", "hands", "feet", "hair", "underarm", "baby", "mouth", "none"}, p.Site, name)
		assert.Regexp(t, fragrance, p.Fragrance, name)
		assert.Equal(t, p.Category == "not on skin", p.Site == "none", name)
		assert.NotEmpty(t, p.Source, name)
		assert.Contains(t, []string{"read", "memory"}, p.Status, name)
	}
}

func TestSuggestProduct(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"scrub":      "did you mean one of these: body scrub, foot scrub, lip scrub?",
		"Sugar salt": "it can be: ",
		"hand craem": "did you mean one of these: ", // those for hands
		"shampo":     "did you mean “shampoo”?",
	} {
		assert.Contains(t, law.SuggestProduct(name), want, name)
	}
}
