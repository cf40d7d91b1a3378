package material

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

// TestPublished holds figures against the publications named beside them.
func TestPublished(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ id, what, want, source string }{
		{"glycerin", "density", "1.261", "CAS Common Chemistry"},
		{"propanediol", "density", "1.057", "CAS Common Chemistry"},
		{"propylene-glycol", "flash", "107", "Wikidata physical properties"},
		{"ethanol-denatured", "flash", "13", "Wikidata physical properties"},
		{"phenoxyethanol", "melts", "14–14", "CAS Common Chemistry"},
		{"isopropyl-myristate", "melts", "3–3", "CAS Common Chemistry"},
		{"triethanolamine", "melts", "20.5–20.5", "CAS Common Chemistry"},
		{"beeswax-white", "melts", "61–66", "Ph. Eur., white beeswax"},
		{"cetearyl-alcohol", "melts", "49–56", "Handbook of Pharmaceutical Excipients, cetostearyl alcohol"},
		{"cetyl-esters-wax", "melts", "43–47", "USP 35–NF 30, cetyl esters wax"},
		{"castor-oil", "saponification", "176–187", "BP, castor oil"},
		{"castor-oil", "iodine", "82–90", "BP, castor oil"},
		{"coconut-oil-refined", "saponification", "248–265", "Codex CXS 210-1999"},
		{"coconut-oil-refined", "iodine", "6.3–10.6", "Codex CXS 210-1999"},
		{"sunflower-oil", "saponification", "187–194", "Codex CXS 210-1999, amendments of 2022"},
		{"soybean-oil", "saponification", "189–195", "Codex CXS 210-1999"},
		{"soybean-oil", "iodine", "124–139", "Codex CXS 210-1999"},
		{"shea-butter-unrefined", "saponification", "160–195", "draft national standard, unrefined shea butter"},
		{"shea-butter-unrefined", "melts", "35–40", "draft national standard, unrefined shea butter"},
		{"cocoa-butter", "saponification", "188–198", "Malaysian standard, cocoa butter"},
		{"cetyl-esters-wax", "saponification", "109–120", "USP 35–NF 30, cetyl esters wax"},
		{"beeswax-yellow", "required-hlb", "12", "OCL 29 (2022), table 4"},
		{"isopropyl-myristate", "required-hlb", "11.5", "OCL 29 (2022), table 4"},
		{"sorbitan-oleate", "hlb", "4.3", "table of emulsifier HLB values"},
		{"polysorbate-80", "hlb", "15", "table of emulsifier HLB values"},
		{"bergamot-oil", "phototoxic", "0.4", "Tisserand & Young, 2.4 of 600 drops"},
		{"lemon-oil", "phototoxic", "2", "Tisserand & Young, 12 of 600 drops"},
		{"lime-oil-expressed", "phototoxic", "0.7", "Tisserand & Young, 4.2 of 600 drops"},
		{"grapefruit-oil", "phototoxic", "4", "Tisserand & Young, 24 of 600 drops"},
		{"glycerin", "us-skin-protectant", "20–45", "US 21 CFR 347.10"},
		{"dimethicone-350", "us-skin-protectant", "1–30", "US 21 CFR 347.10"},
		{"lanolin", "us-skin-protectant", "12.5–50", "US 21 CFR 347.10"},
		{"phenoxyethanol", "law all", "1", "EU Reg. 1223/2009 Annex V"},
		{"benzyl-alcohol", "law all", "1", "EU Reg. 1223/2009 Annex V"},
		{"sodium-benzoate", "law leave-on", "0.59", "EU Reg. 1223/2009 Annex V: 0.5 % as acid"},
		{"potassium-sorbate", "law all", "0.8", "EU Reg. 1223/2009 Annex V: 0.6 % as acid"},
		{"zinc-oxide", "law leave-on", "25", "EU Reg. 1223/2009 Annex VI"},
		{"triethanolamine", "law leave-on", "2.5", "EU Reg. 1223/2009 Annex III"},
		{"tea-tree-oil", "safety panel face cream", "0.1", "SCCS/1681/25"},
		{"coconut-milk-canned", "water", "72.9", "food composition tables"},
	} {
		m := Common().ByID(row.id)
		require.NotNil(t, m, row.id)
		assert.Equal(t, row.want, figure(m, row.what), "%s of %s (%s)", row.what, row.id, row.source)
	}
}

// figure writes a figure of a material plainly.
func figure(m *Material, what string) string {
	celsius := func(v quantity.Temperature) string { return v.Celsius().String() }
	switch what {
	case "density":
		return m.Density.Value.GramsPerMillilitre().String()
	case "flash":
		return celsius(m.Flash.Value)
	case "melts":
		return celsius(m.Melts.Value.Low) + "–" + celsius(m.Melts.Value.High)
	case "saponification":
		return m.Saponified.Value.String()
	case "iodine":
		return m.Iodine.Value.String()
	case "hlb":
		return m.HLB.Value.String()
	case "required-hlb":
		return m.RequiredHLB.Value.String()
	case "phototoxic":
		return m.Phototoxic.Value.String()
	case "us-skin-protectant":
		return m.USSkinProtectant.Value.String()
	case "water":
		return m.Water.Value.String()
	}
	for _, u := range m.Uses {
		if u.Basis+" "+u.For == what {
			return u.To.String()
		}
	}
	return "no " + what
}

// TestAcidEquivalents works them out from molar masses (abridged IUPAC atomic weights).
func TestAcidEquivalents(t *testing.T) {
	t.Parallel()
	for id, masses := range map[string][2]string{
		"sodium-benzoate":   {"122.123", "144.105"},
		"potassium-sorbate": {"112.128", "150.218"},
		"methylparaben":     {"138.122", "152.149"},
		"propylparaben":     {"138.122", "180.203"},
	} {
		acid, salt := number(t, masses[0]), number(t, masses[1])
		assert.Equal(t, acid.Quo(salt).Text(4), Common().ByID(id).AcidEquivalent.Value.Text(4), id)
	}
}

// apart are the rows of the tables from which the catalogue differs, with the reason.
var apart = map[string]string{
	"density cocoa-butter (cocoa butter (solid))":            "the catalogue has the melted butter",
	"density cocoa-butter-deodorised (cocoa butter (solid))": "the catalogue has the melted butter",
	"density cetyl-alcohol (cetyl alcohol (solid))":          "the catalogue has the melted alcohol",
	"density stearic-acid (stearic acid (solid))":            "the catalogue has the melted acid",
	"saponification wheat-germ-oil (wheat germ oil)":         "the table has two analyses of 1898 and 1899, the catalogue what modern handbooks give, 179 to 217",
	"iodine wheat-germ-oil (wheat germ oil)":                 "the table has two analyses of 1898 and 1899",
}

// TestTables holds the catalogue against three tables that were collected apart from it: a density may lie 0.3 % outside
// the table's range (as far as a specific gravity is off), a middle of saponification or iodine values not at all, an
// HLB 2 units (published charts differ by 1 to 2).
func TestTables(t *testing.T) {
	t.Parallel()
	found := make(map[string]bool)
	check := func(ok bool, what, id, name string) {
		key := what + " " + id + " (" + name + ")"
		_, known := apart[key]
		found[key] = found[key] || !ok
		assert.True(t, ok || known, "%s is outside the table", key)
	}
	for _, row := range table(t, "density") {
		m := Common().ByID(row["material"])
		require.NotNil(t, m, row["material"])
		d := m.Density.Value.GramsPerMillilitre()
		check(within(d, row, number(t, "0.997"), number(t, "1.003")), "density", m.ID, row["name"])
	}
	for _, row := range table(t, "saponification") {
		m := Common().ByID(row["material"])
		require.NotNil(t, m, row["material"])
		value, known := m.SaponificationValue()
		check(known && within(value, row, quantity.Int(1), quantity.Int(1)), "saponification", m.ID, row["name"])
		if v := m.Iodine.Value; m.Iodine.Known && row["iodine_low"] != "" {
			row["low"], row["high"] = row["iodine_low"], row["iodine_high"]
			check(within(v.Low.Add(v.High).Quo(quantity.Int(2)), row, quantity.Int(1), quantity.Int(1)), "iodine", m.ID, row["name"])
		}
		if m.Soap.Known {
			check(m.Soap.Value == Soap{Sodium: row["sodium_soap"], Potassium: row["potassium_soap"]}, "soap", m.ID, row["name"])
		}
	}
	for _, row := range table(t, "hlb") {
		m := Common().ByID(row["material"])
		require.NotNil(t, m, row["material"])
		got := m.HLB.Value
		if row["kind"] == "required" {
			got = m.RequiredHLB.Value.Low
		}
		low, high := number(t, row["low"]).Sub(quantity.Int(2)), number(t, row["high"]).Add(quantity.Int(2))
		check(inside(got, quantity.Interval{Low: low, High: high}), row["kind"], m.ID, row["name"])
	}
	for key := range apart {
		assert.True(t, found[key], "%s agrees now", key)
	}
}

func within(n quantity.Number, row map[string]string, low, high quantity.Number) bool {
	l, err := quantity.ParseNumber(row["low"])
	h, err2 := quantity.ParseNumber(row["high"])
	return err == nil && err2 == nil && inside(n, quantity.Interval{Low: l.Mul(low), High: h.Mul(high)})
}

func number(t *testing.T, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err)
	return n
}

// table reads a table of testdata, each row with its source and status.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name + ".csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 50)
	var all []map[string]string
	for _, row := range rows[1:] {
		r := make(map[string]string)
		for i, cell := range row {
			r[rows[0][i]] = cell
		}
		require.NotEmpty(t, r["status"])
		all = append(all, r)
	}
	return all
}
