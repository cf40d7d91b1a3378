package members_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/members"
)

func TestParseName(t *testing.T) {
	t.Parallel()
	for _, test := range []struct{ in, want, fault string }{
		{"Wren Hollis", "Wren Hollis", ""},
		{"  Wren \t Hollis\n", "Wren Hollis", ""},
		{"Zoe\u0308", "Zoë", ""},
		{"\ufeffWren\u200b Hol\u00adlis\u200f", "Wren Hollis", ""},
		{"علی\u200cرضا", "علی\u200cرضا", ""},
		{"’t Hooft", "’t Hooft", ""},
		{"wren@larkrow.example", "wren@larkrow.example", ""},
		{"42", "42", ""},
		{"", "", "there is no name"},
		{"\u200b \u00a0", "", "there is no name"},
		{"Wren\x07", "", "control character"},
		{"Zo\xeb", "", "was lost"},
		{"Zo\ufffd", "", "was lost"},
		{"=1+1", "", "work out as a sum"},
		{" @Wren", "", "work out as a sum"},
		{"\u200b-Wren", "", "work out as a sum"},
		{"…", "", "has no letter"},
		{strings.Repeat("é", 100), strings.Repeat("é", 100), ""},
		{strings.Repeat("é", 101), "", "longer than 100"},
	} {
		got, err := members.ParseName(test.in)
		assert.Equal(t, test.want, got, "%q", test.in)
		if test.fault == "" {
			assert.NoError(t, err, "%q", test.in)
			continue
		}
		assert.ErrorContains(t, err, test.fault, "%q", test.in)
	}
}

func TestKey(t *testing.T) {
	t.Parallel()
	for _, same := range [][]string{
		{"Wren Hollis", "WREN  hollis", " wren\u00a0Hollis"},
		{"Zoë", "ZOE\u0308"},
		{"Strauß", "STRAUSS", "strauſs"},
		{"علی\u200cرضا", "علیرضا"},
		{"ΣΊΣΥΦΟΣ", "σίσυφος"},
	} {
		for _, s := range same {
			assert.Equal(t, members.Key(same[0]), members.Key(s), "%q and %q", same[0], s)
		}
	}
	assert.NotEqual(t, members.Key("Zoë"), members.Key("Zoe"))
}
