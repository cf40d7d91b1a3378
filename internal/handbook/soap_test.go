package handbook_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// soapBook loads a handbook with the fats of the worked examples and one soap recipe of the given front matter.
func soapBook(t *testing.T, recipe string) (*handbook.Handbook, *handbook.Recipe) {
	t.Helper()
	files := fstest.MapFS{"handbook.yaml": {Data: []byte("title: Soaps\nscales: [{reads: 0.001 g}]\n")}}
	for name, value := range map[string]string{"Olive oil": "190", "Coconut oil": "256.5", "Palm oil": "199.5", "Castor oil": "181.5", "Stearic acid": "197.2"} {
		files["ingredients/"+handbook.Slug(name)+".md"] = &fstest.MapFile{Data: []byte("---\nname: " + name + "\nrole: oil\nsaponification: " + value + "\n---\n")}
	}
	files["recipes/bar.md"] = &fstest.MapFile{Data: []byte("---\ntitle: Bar\nproduct: bar soap\nshelf: Soaps\n" + recipe + "---\n")}
	h, problems := handbook.Load(files)
	require.NoError(t, problems.Err())
	return h, h.Recipes[0]
}

// near asserts a weight to a thousandth of a gram.
func near(t *testing.T, want string, got quantity.Number, what string) {
	t.Helper()
	n, err := quantity.ParseNumber(want)
	require.NoError(t, err)
	assert.Equal(t, n.Fixed(3), got.Fixed(3), what)
}

// exact gives the exact weight of an ingredient in the batch that a text asks for.
func exact(t *testing.T, v *formula.Version, name, batch string) quantity.Number {
	t.Helper()
	b, err := quantity.ParseBatch(batch)
	require.NoError(t, err)
	sized, err := v.Size(b, nil)
	require.NoError(t, err)
	found := v.Find(name)
	require.Len(t, found, 1, name)
	return v.Share(found[0]).Mul(sized.Weight.Grams())
}

// soap-03, -02, -04 and -05 of the worked examples of package soap, as a maker writes them: arithmetic of saponification values, figures
// composed for the test.
func TestSoapWorkedExamples(t *testing.T) {
	t.Parallel()
	tests := []struct{ id, recipe, batch, lye, also, water string }{
		{
			"soap-03, weights", "formula: [{phase: Fats, weigh: {Olive oil: 500 g, Coconut oil: 300 g, Palm oil: 200 g}}]\n" +
				"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n", "from 500 g Olive oil", "143.473001595", "", "286.94600319",
		},
		{
			"soap-03, percents of the fats", "formula: [{phase: Fats, weigh: {Olive oil: q.s., Coconut oil: 30 %, Palm oil: 20 %}}]\n" +
				"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n", "from 500 g Olive oil", "143.473001595", "", "286.94600319",
		},
		{
			"soap-02", "formula: [{phase: Fats, weigh: {Olive oil: 1 kg}}]\n" +
				"soap: {alkali: Sodium Hydroxide, purity: {sodium hydroxide: 98 %}, superfat: 5 %, solution: 30 %}\n", "from 1 kg Olive oil", "131.301365055", "", "306.369851794",
		},
		{
			"soap-04", "formula: [{phase: Fats, weigh: {Olive oil: 7 parts, Coconut oil: 3 parts}}]\n" +
				"soap: {alkali: potassium hydroxide, purity: {potassium hydroxide: 90 %}, superfat: 2 %, water: 3 per 1}\n", "from 700 g Olive oil", "", "228.612222222", "685.836666667",
		},
		{
			"soap-05", "formula: [{phase: Fats, weigh: {Stearic acid: 40 %, Coconut oil: 30 %, Castor oil: 30 %}}]\n" +
				"soap:\n  alkali: {sodium hydroxide: 60 %, potassium hydroxide: 40 %}\n  purity: {sodium hydroxide: 98 %, potassium hydroxide: 90 %}\n  superfat: 3 %\n  solution: 28 %\n",
			"from 400 g Stearic acid", "89.0252061353", "90.6540444444", "462.032358634",
		},
	}
	for _, test := range tests {
		t.Run(test.id, func(t *testing.T) {
			t.Parallel()
			_, r := soapBook(t, test.recipe)
			require.Len(t, r.Versions, 1)
			v := r.Versions[0]
			assert.Equal(t, "Lye", v.Phases[0].Name)
			assert.Nil(t, v.Written, "the percents make 100 without the lye")
			if test.lye != "" {
				near(t, test.lye, exact(t, v, "Sodium hydroxide (lye)", test.batch), "sodium hydroxide")
			}
			if test.also != "" {
				near(t, test.also, exact(t, v, "Potassium hydroxide", test.batch), "potassium hydroxide")
			}
			near(t, test.water, exact(t, v, "Distilled water", test.batch), "water")
		})
	}
}

func TestSoapLines(t *testing.T) {
	t.Parallel()
	h, r := soapBook(t, `formula:
  - phase: Fats
    weigh: {Olive oil: 70 %, Coconut oil: 30 %}
  - phase: Trace
    weigh: {Distilled water: 1 per 100, Kaolin: 1 per 50}
soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}
batches: [1 kg]
variants:
  - {name: Palm, change: {Coconut oil: becomes Palm oil, Distilled water: out}}
  - {name: Half, change: {Coconut oil: 15 %, Olive oil: 85 %, Distilled water: 1 per 50}}
splits:
  - {name: Plain, share: 1/2}
  - {name: Scented, share: 1/2, add: {Kaolin: 1 per 100}}
`)
	require.Len(t, r.Versions, 5)
	var lye []string
	for i, w := range h.Work(r) {
		v := r.Versions[i]
		assert.Equal(t, "A", formula.Letter(v.Items[0].Phase))
		assert.Equal(t, []string{"Sodium hydroxide (lye)", "Distilled water"}, []string{v.Items[0].Name, v.Items[1].Name})
		assert.Equal(t, "worked out from the fats", v.Items[0].Amount.Written)
		assert.Equal(t, []bool{true, false}, []bool{v.Items[0].Fixed, v.Items[1].Fixed}, "an alkali is never moved by rounding")
		assert.Equal(t, "sodium hydroxide", v.Items[0].At.Text())
		assert.Equal(t, "2 per 1", v.Items[1].At.Text())
		made, is := w.Soap()
		require.True(t, is)
		require.NoError(t, made.Err)
		assert.Equal(t, "5", made.Superfat.String(), v.Name)
		lye = append(lye, v.Name+" "+made.Lye.Quo(made.Fat).Mul(quantity.Int(100)).Text(4))
	}
	// 0.95 × 39.997 ÷ 56.106 × the mean saponification value ÷ 10, for 100 of fat: 209.95, 192.85 and 199.975.
	assert.Equal(t, []string{"base 14.2186", "Palm 13.0605", "Half 13.5431", "Plain 14.2186", "Scented 14.2186"}, lye)
}

// A page with a problem of its own is not said to be no alkali.
func TestSoapWithAFaultyAlkali(t *testing.T) {
	t.Parallel()
	h, problems := handbook.Load(fstest.MapFS{
		"handbook.yaml":       {Data: []byte("title: Soaps\n")},
		"ingredients/soda.md": {Data: []byte("---\nname: Soda\nalso: [sodium hydroxide]\ninci: {Sodium Hydroxide: all}\n---\n")},
		"recipes/bar.md": {Data: []byte("---\ntitle: Bar\nproduct: bar soap\nshelf: Soaps\nformula: [{phase: Fats, weigh: {Olive oil: 1 kg}}]\n" +
			"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n---\n")},
	})
	require.Len(t, problems.All(), 1)
	assert.Equal(t, "ingredients/soda.md", problems.All()[0].Span.File())
	assert.Empty(t, h.Recipes[0].Versions)
}

// The handbook's own names for alkali and water are used, and a page that is no such alkali is not.
func TestSoapIngredients(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		page string
		want string // "" where it is refused
	}{
		{"a page of its own", "name: Soda pearls\nalso: [sodium hydroxide]\nrole: alkali\ninci: {Sodium Hydroxide: 99 %}\n", "Soda pearls"},
		{"a page of the catalogue's alkali", "name: Caustic soda\nrole: alkali\n", "Caustic soda"},
		{"a page that only borrows the name", "name: Kitchen soda\nalso: [sodium hydroxide]\nrole: alkali\ninci: {Sodium Bicarbonate: 100 %}\n", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			files := fstest.MapFS{
				"handbook.yaml":       {Data: []byte("title: Soaps\n")},
				"ingredients/soda.md": {Data: []byte("---\n" + test.page + "---\n")},
				"recipes/bar.md": {Data: []byte("---\ntitle: Bar\nproduct: bar soap\nshelf: Soaps\nformula: [{phase: Fats, weigh: {Olive oil: 1 kg}}]\n" +
					"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n---\n")},
			}
			h, problems := handbook.Load(files)
			if test.want == "" {
				require.ErrorContains(t, problems.Err(), "no one ingredient of this handbook is sodium hydroxide")
				return
			}
			require.NoError(t, problems.Err())
			v := h.Recipes[0].Versions[0]
			assert.Equal(t, test.want, v.Items[0].Name)
			made, is := h.Weigh(h.Recipes[0], v, nil).Soap()
			require.True(t, is)
			require.NoError(t, made.Err)
			assert.Equal(t, "5", made.Superfat.String(), "the block's purity goes before the page's")
		})
	}
}

// What may be a fat is never left out of the lye sum: it is a problem where it stands, with what the name can mean; what a page says is none is none.
func TestSoapOfWhatMayBeFat(t *testing.T) {
	t.Parallel()
	load := func(fat, page string) (*handbook.Handbook, *problem.List) {
		files := fstest.MapFS{
			"handbook.yaml": {Data: []byte("title: Soaps\n")},
			"recipes/bar.md": {Data: []byte("---\ntitle: Bar\nproduct: bar soap\nshelf: Soaps\nformula: [{phase: Fats, weigh: {Olive oil: 500 g, " + fat + ": 300 g, Castor oil: 200 g}}]\n" +
				"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n---\n")},
		}
		if page != "" {
			files["ingredients/page.md"] = &fstest.MapFile{Data: []byte("---\nname: " + page + "\n---\n")}
		}
		h, problems := handbook.Load(files)
		return h, problems
	}
	_, problems := load("Coconut oil", "")
	require.ErrorContains(t, problems.Err(), "recipes/bar.md:5:")
	require.ErrorContains(t, problems.Err(), "the lye cannot be worked out: Coconut oil may be a fat")
	require.Equal(t, 1, problems.Len())
	assert.Contains(t, problems.All()[0].Hint, " or Coconut oil, refined (76 degree) or ")
	for fat, page := range map[string]string{"Barn grease": "", "Sheep grease": "Sheep grease", "Barn grease of May": "Barn grease of May\nprice: 3 per 1 kg"} {
		_, problems = load(fat, page)
		require.ErrorContains(t, problems.Err(), fat+" may be a fat", page)
		assert.Contains(t, problems.All()[0].Hint, "saponification:", page)
	}
	for _, page := range []string{"Barn grease\nrole: botanical", "Barn grease\nsaponification: 190", "Barn grease\nrole: oil\nsaponification: 190–200"} {
		h, problems := load("Barn grease", page)
		require.NoError(t, problems.Err(), page)
		made, is := h.Weigh(h.Recipes[0], h.Recipes[0].Versions[0], nil).Soap()
		require.True(t, is)
		require.NoError(t, made.Err)
		assert.Equal(t, "5", made.Superfat.String(), page)
	}
}

// What does not become soap takes up no alkali: hydrocarbons and silicones are no error, and more of them asks for no more lye.
func TestSoapOfWhatIsNotSaponifiable(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"Mineral oil", "Petrolatum", "Squalane", "Dimethicone"} {
		files := fstest.MapFS{
			"handbook.yaml": {Data: []byte("title: Soaps\n")},
			"recipes/bar.md": {Data: []byte("---\ntitle: Bar\nproduct: bar soap\nshelf: Soaps\nformula: [{phase: Fats, weigh: {Olive oil: 900 g, " + name + ": 100 g}}]\n" +
				"soap: {alkali: sodium hydroxide, superfat: 5 %, water: 2 per 1}\n---\n")},
		}
		h, problems := handbook.Load(files)
		require.NoError(t, problems.Err(), name)
		made, is := h.Weigh(h.Recipes[0], h.Recipes[0].Versions[0], nil).Soap()
		require.True(t, is)
		require.NoError(t, made.Err)
		assert.Equal(t, "0", made.Fats[1].KOH.String(), name)
	}
}
