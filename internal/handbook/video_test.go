package handbook_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

func TestVideos(t *testing.T) {
	t.Parallel()
	h := loadGood(t)
	assert.Equal(t, &handbook.Video{Address: "https://film.larkrow.example/stirring"}, h.Recipes[0].Video)
	assert.Equal(t, "film.larkrow.example", h.Recipes[0].Video.Host())
	scent := h.PageOf("ingredients/cedarwood-fragrance.md")
	require.NotNil(t, scent.Video)
	assert.Equal(t, handbook.Video{Address: "https://Film.larkrow.example:8443/w?v=1,2#t=30", Title: "How it smells"}, *scent.Video)
	assert.Equal(t, "film.larkrow.example", scent.Video.Host())
	assert.Nil(t, h.Notes[0].Video)
	assert.Empty(t, handbook.Video{Address: "\x00"}.Host())
}

// The names of sites in other alphabets are names, too.
func TestVideoHosts(t *testing.T) {
	t.Parallel()
	for address, host := range map[string]string{
		"https://film.example": "film.example", "HTTPS://FILM.example/A": "film.example", "https://bücher.example/": "bücher.example", "https://फ़िल्म.example/": "फ़िल्म.example",
	} {
		h, problems := handbook.Load(with("notes/x.md", "---\ntitle: X\nvideo: "+address+"\n---\n"))
		require.NoError(t, problems.Err(), address)
		assert.Equal(t, host, h.Notes[0].Video.Host())
	}
}

func TestDoor(t *testing.T) {
	t.Parallel()
	cases := []struct {
		line, problem string
		want          handbook.Door
	}{
		{"", "", handbook.Door{}},
		{"door: sealed\n", "", handbook.Door{Kind: handbook.SealedDoor}},
		{"door: Folder\n", "", handbook.Door{Kind: handbook.FolderDoor}},
		{"door: {kind: sealed}\n", "", handbook.Door{Kind: handbook.SealedDoor}},
		{"door: {kind: folder, address: https://members.larkrow.example}\n", "", handbook.Door{Kind: handbook.FolderDoor, Address: "https://members.larkrow.example/"}},
		{"door: open\n", "3:7: “open” is no kind of door", handbook.Door{}},
		{"door: ~\n", "3:7: the value is missing", handbook.Door{}},
		{"door: [sealed, folder]\n", "3:7: a single value should stand here", handbook.Door{}},
		{"door: {kind: foldr, address: https://larkrow.example/}\n", "3:14: “foldr” is no kind of door", handbook.Door{}},
		{"door: {address: https://larkrow.example/}\n", "3:7: door: has no kind:", handbook.Door{}},
		{"door: {kind: folder, adress: https://larkrow.example/}\n", "3:22: door: has no “adress”", handbook.Door{Kind: handbook.FolderDoor}},
		{"door: {kind: folder, address: larkrow}\n", "3:31: this is no web address", handbook.Door{Kind: handbook.FolderDoor}},
		{"door: {kind: sealed, address: https://larkrow.example/}\n", "3:31: members' pages that are sealed lie in the handbook itself", handbook.Door{Kind: handbook.SealedDoor}},
	}
	for _, c := range cases {
		t.Run(c.line, func(t *testing.T) {
			t.Parallel()
			h, problems := handbook.Load(with("handbook.yaml", baseSettings+c.line))
			placed(t, problems)
			assert.Equal(t, c.want, h.Door)
			if c.problem == "" {
				require.NoError(t, problems.Err())
				return
			}
			require.Len(t, problems.All(), 1)
			assert.Contains(t, problems.Error(), "handbook.yaml:"+c.problem)
		})
	}
}
