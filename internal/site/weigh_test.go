package site

import (
	"encoding/json"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/golden"
	"larkrow.example/stillroom/internal/words"
	"larkrow.example/stillroom/themes/linen"
)

// weighingsFolder has the table of batches that both this program and the script of the pages are held against.
const weighingsFolder = "../../testdata/weighings"

// fixedTables are the tables that are the same in every run, by the name of their file.
func fixedTables(t testing.TB) map[string][]weighTable {
	t.Helper()
	random := rand.New(rand.NewPCG(3, 5)) //nolint:gosec // the same in every run
	var drawn []weighTable
	for i := range 60 {
		drawn = append(drawn, randomTable(t, random, "drawn "+strconv.Itoa(i)))
	}
	return map[string][]weighTable{"demonstration.json": demoTables(t), "awkward.json": syntheticTables(t), "drawn.json": drawn}
}

// What this program weighs is what the table says.
func TestWeighings(t *testing.T) {
	cases, refused := 0, 0
	for file, tables := range fixedTables(t) {
		golden.Equal(t, filepath.Join(weighingsFolder, file), writeTables(t, tables))
		for _, table := range tables {
			cases += len(table.Cases)
			for _, c := range table.Cases {
				if c.Want.Error != "" {
					refused++
				}
			}
		}
	}
	assert.Greater(t, cases, 1000)
	assert.Greater(t, refused, 60, "batches that are not to be had")
	assert.Less(t, refused, cases/4)
}

// What the script of the pages weighs is what the table says, to the last figure and word; and what this program weighs of formulas that
// are drawn anew in every run.
func TestWeighingsInBrowser(t *testing.T) {
	b := browsertest.Start(t)
	for _, file := range []string{"demonstration.json", "awkward.json", "drawn.json"} {
		text, err := os.ReadFile(filepath.Join(weighingsFolder, file))
		require.NoError(t, err)
		t.Run(file, func(t *testing.T) { compareWithScript(t, b, string(text)) })
	}
	t.Run("drawn now", func(t *testing.T) {
		seed := rand.Uint64()
		t.Logf("seed %d", seed)
		random := rand.New(rand.NewPCG(seed, 1)) //nolint:gosec // a test's
		var tables []weighTable
		for i := range 150 {
			tables = append(tables, randomTable(t, random, "drawn now "+strconv.Itoa(i)))
		}
		compareWithScript(t, b, writeTables(t, tables))
	})
}

// weighAll weighs every case of the tables with the page's script.
const weighAll = `tables.map(table => {
	const data = weigh.load(table.data)
	return table.cases.map(c => {
		const r = weigh.batch(data, data.versions[c.version], c.batch)
		if (r.error) return { error: r.error.message }
		return {
			weights: r.weights, balance: r.balance, total: r.total, phases: r.phases, fill: r.fill, cautions: r.cautions, portions: r.portions,
			every2nd: r.sum(r.weights.map((_, i) => i).filter(i => i % 2 === 0)),
		}
	})
})`

// weighPage opens a page with the scripts that weigh, in a language, and with tables.
func weighPage(t *testing.T, b *browsertest.Browser, l *words.Language, text string) *browsertest.Page {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{"words.js": string(l.Script()), "tables.js": "const tables = " + text}
	page := `<!DOCTYPE html><meta charset="utf-8"><title>weighing</title>`
	for _, name := range []string{"speech.js", "weigh.js"} {
		script, err := linen.FS.ReadFile("assets/" + name)
		require.NoError(t, err)
		files[name] = string(script)
	}
	for _, name := range []string{"words.js", "speech.js", "weigh.js", "tables.js"} {
		page += `<script src="` + name + `"></script>`
	}
	files["page.html"] = page
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(data), 0o600))
	}
	address := url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, "page.html"))}
	return b.Open(t, address.String(), browsertest.View{Width: 360, Script: true})
}

// A reader in another language is weighed the same, and is refused in that language; there 1.500 can be read two ways, too.
func TestWeighingsInGerman(t *testing.T) {
	b := browsertest.Start(t)
	german, _ := spoken(t).In("de")
	text, err := os.ReadFile(filepath.Join(weighingsFolder, "awkward.json"))
	require.NoError(t, err)
	var tables []weighTable
	require.NoError(t, json.Unmarshal(text, &tables))
	p := weighPage(t, b, german, string(text))
	got := browsertest.Ask[[][]weighResult](t, p, weighAll)
	refused := 0
	for i, table := range tables {
		for j, c := range table.Cases {
			have := got[i][j]
			if have.Error != "" && c.Want.Error == "" {
				assert.Contains(t, have.Error, "mehrdeutig", "a batch of %q", c.Batch)
				assert.Regexp(t, `[1-9][0-9]*\.[0-9]{3}\b`, c.Batch)
				continue
			}
			assert.Equal(t, c.Want.Weights, have.Weights, "a batch of %q", c.Batch)
			assert.Equal(t, c.Want.Error != "", have.Error != "", "a batch of %q", c.Batch)
			if c.Want.Error != "" {
				refused++
				assert.NotEqual(t, c.Want.Error, have.Error)
			}
			for _, caution := range have.Cautions {
				assert.Equal(t, german.Say("script.weigh.tooLightMend"), caution.Mend)
				assert.NotContains(t, caution.Message, "the batch")
			}
		}
	}
	assert.Greater(t, refused, 20)
	for batch, want := range map[string]string{
		"1.000 g": "„1.000“ ist mehrdeutig: Es kann 1000 heißen oder, mit Dezimalkomma, 1,000", "1,5 g": "", "0.0000000001 kg": german.Say("script.weigh.tooLittle"),
		"1.500 g": "„1.500“ ist mehrdeutig: Es kann 1500 heißen oder, mit Dezimalkomma, 1,500", "1,500 g": "„1,500“ ist mehrdeutig: Es kann 1500 heißen oder, mit Dezimalkomma, 1,500",
		"1.500,5 g": "in „1.500,5“ steht mehr als ein Punkt oder Komma", "0.500 g": "", "1,5 kg": "", "1.5 kg": "", "3 Pfund": "„pfund“ ist keine Einheit", "300 ml": german.Say("script.weigh.volume"),
	} {
		ask := `(data => weigh.batch(data, data.versions[0], ` + strconv.Quote(batch) + `).error?.message ?? '')(weigh.load(tables[0].data))`
		assert.Equal(t, want, browsertest.Ask[string](t, p, ask), batch)
	}
}

func compareWithScript(t *testing.T, b *browsertest.Browser, text string) {
	t.Helper()
	var tables []weighTable
	require.NoError(t, json.Unmarshal([]byte(text), &tables))
	got := browsertest.Ask[[][]weighResult](t, weighPage(t, b, english(), text), weighAll)
	require.Len(t, got, len(tables))
	wrong := 0
	for i, table := range tables {
		require.Len(t, got[i], len(table.Cases))
		for j, c := range table.Cases {
			have := got[i][j]
			slices.SortFunc(have.Cautions, func(a, b shownCaution) int { return strings.Compare(a.Message, b.Message) })
			if have.Cautions != nil && len(have.Cautions) == 0 {
				have.Cautions = nil
			}
			if len(have.Portions) == 0 {
				have.Portions = nil
			}
			if wrong < 10 && !assert.Equal(t, c.Want, have, "%s, version %d, a batch of %q", table.Name, c.Version, c.Batch) {
				wrong++
			}
		}
	}
}
