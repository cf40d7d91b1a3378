package site

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// spans parses what an amount is drawn as: the words for each version and batch, versions first.
func spans(t *testing.T, piece string) [][]string {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(piece))
	require.NoError(t, err)
	var all [][]string
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode || n.Data != "span" {
			continue
		}
		switch class := attr(n, "class"); {
		case class == versionID(len(all)):
			all = append(all, nil)
		case class == "amount":
		default:
			v := &all[len(all)-1]
			require.Equal(t, batchID(len(*v)), class)
			*v = append(*v, wordsIn(n))
		}
	}
	return all
}

func wordsIn(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// What the method says to weigh is what the table says, for every :amount of the demonstration, every version and every batch:
// the same figures for one ingredient, their sum for a phase.
func TestAmountsEqualTheTable(t *testing.T) {
	b := demoBook(t)
	compared := 0
	for _, r := range b.Recipes {
		worked := b.Worked(r)
		for _, a := range b.bodies[&r.Page].document.Amounts {
			shown := spans(t, amountsOf(worked, english())(a.Name))
			require.Len(t, shown, len(worked), "versions of %s", r.Slug)
			for i, w := range worked {
				items, _ := amountItems(w, a.Name)
				require.Len(t, shown[i], len(w.Batches))
				for j := range w.Batches {
					got := shown[i][j]
					at := r.Slug + ", " + w.Version.Name + ", " + w.Batches[j].Written + ", " + a.Name
					switch {
					case w.Batches[j].Missing != nil:
						assert.Equal(t, "no such batch", got, at)
						continue
					case len(items) == 0:
						assert.Equal(t, "none in this version", got, at)
						continue
					}
					rows := rowsOfItems(w.Version, NewFormulaView(r, w, func(string) string { return "" }), items)
					grams, ounces, _ := strings.Cut(got, " g ")
					ounces = strings.TrimSuffix(ounces, " oz")
					if len(rows) == 1 {
						assert.Equal(t, rows[0].Weights[j].G, grams, at)
						assert.Equal(t, rows[0].Weights[j].Oz, ounces, at)
					}
					var parts []string
					for _, row := range rows {
						parts = append(parts, row.Weights[j].G)
					}
					assert.Equal(t, sumOf(t, parts), sumOf(t, []string{grams}), at)
					compared++
				}
			}
		}
	}
	assert.Greater(t, compared, 500)
}

// rowsOfItems gives the lines of a table that belong to some items of its version.
func rowsOfItems(v *formula.Version, view *FormulaView, items []int) []RowView {
	var rows []RowView
	for _, i := range items {
		before := 0
		for k := range i {
			if v.Items[k].Phase == v.Items[i].Phase {
				before++
			}
		}
		rows = append(rows, view.Phases[v.Items[i].Phase].Rows[before])
	}
	return rows
}

// Amounts of what only some versions have say so in the others, and name what stands in its place.
func TestAmountsOfWhatIsNotThere(t *testing.T) {
	b := bookIn(t, os.DirFS(hedgerowFolder))
	for _, r := range b.Recipes {
		if r.Slug != "hedgerow-hand-cream" {
			continue
		}
		draw := amountsOf(b.Worked(r), english())
		lactate := spans(t, draw("Sodium lactate"))
		assert.Equal(t, "5.0 g 0.176 oz", lactate[0][0])
		assert.Equal(t, "none in this version", lactate[1][0])
		assert.Contains(t, draw("Shea butter, refined"), `</span> (Cocoa butter)</span>`)
		assert.Equal(t, "192.9 g 6.80 oz", spans(t, draw("Water"))[0][0])
		assert.Equal(t, "53.1 g 1.87 oz", spans(t, draw("Oil"))[0][0])
		return
	}
	require.Fail(t, "the hand cream is not there")
}

// What the table says a phase weighs is what its lines add up to, and the phases make the batch.
func TestPhasesAddUp(t *testing.T) {
	b := demoBook(t)
	compared := 0
	for _, r := range b.Recipes {
		for _, w := range b.Worked(r) {
			table := NewFormulaView(r, w, func(string) string { return "" })
			for i := range table.Batches {
				if table.Batches[i].Missing != "" {
					continue
				}
				whole := quantity.Number{}
				for _, p := range table.Phases {
					sum := quantity.Number{}
					for _, row := range p.Rows {
						sum = sum.Add(parsed(t, row.Weights[i].G))
					}
					if len(p.Rows) > 1 {
						assert.Zero(t, sum.Cmp(parsed(t, p.Totals[i].G)), "%s, %s, %s: %s", r.Slug, w.Version.Name, p.Name, p.Totals[i].G)
						compared++
					}
					whole = whole.Add(sum)
				}
				assert.Zero(t, whole.Cmp(parsed(t, table.Batches[i].TotalG)), "%s, %s", r.Slug, w.Version.Name)
			}
		}
	}
	assert.Greater(t, compared, 100)
}

func parsed(t *testing.T, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}
