package site

import (
	"encoding/json"
	"io"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/quantity"
)

// The file as its description has it, written down a second time: a field that is added, dropped or renamed shows here.
type (
	readFile struct {
		Schema   int           `json:"schema"`
		Recipe   string        `json:"recipe"`
		Title    string        `json:"title"`
		Product  string        `json:"product"`
		Category string        `json:"category"`
		Versions []readVersion `json:"versions"`
	}
	readVersion struct {
		Name     string        `json:"name"`
		Kind     string        `json:"kind"`
		Items    []readItem    `json:"items"`
		Batches  []readBatch   `json:"batches"`
		Listed   readLists     `json:"ingredient_list"`
		Contains []readContent `json:"allergens"`
		Emulsion *readEmulsion `json:"emulsion,omitempty"`
		Soap     *readSoap     `json:"soap,omitempty"`
		Findings []readFinding `json:"findings"`
	}
	readItem struct {
		Phase      string `json:"phase"`
		PhaseName  string `json:"phase_name"`
		Ingredient string `json:"ingredient"`
		Name       string `json:"name"`
		Written    string `json:"written"`
		Percent    string `json:"percent"`
	}
	readBatch struct {
		Size     string       `json:"size"`
		NominalG string       `json:"nominal_g"`
		TotalG   string       `json:"total_g"`
		Items    []readWeight `json:"items"`
		Fill     *readFill    `json:"fill,omitempty"`
	}
	readWeight struct {
		Ingredient string `json:"ingredient"`
		Phase      string `json:"phase"`
		ExactG     string `json:"exact_g"`
		WeighG     string `json:"weigh_g"`
		WeighOz    string `json:"weigh_oz"`
	}
	readFill struct {
		Containers int64  `json:"containers"`
		EachG      string `json:"each_g"`
		LeftG      string `json:"left_g"`
	}
	readLists struct {
		EU string `json:"EU"`
		US string `json:"US"`
	}
	readContent struct {
		Name    string `json:"name"`
		Percent string `json:"percent"`
		Declare bool   `json:"declare"`
	}
	readEmulsion struct {
		RequiredHLB string `json:"required_hlb,omitempty"`
		HLB         string `json:"hlb,omitempty"`
		OilPhase    string `json:"oil_phase_percent"`
	}
	readSoap struct {
		Alkali   []readAlkali `json:"alkali"`
		Superfat string       `json:"superfat_percent"`
		Range    []string     `json:"superfat_range"`
	}
	readAlkali struct {
		Name    string `json:"name"`
		Percent string `json:"percent"`
	}
	readFinding struct {
		Code     string `json:"code"`
		Level    string `json:"level"`
		Subject  string `json:"subject"`
		Value    string `json:"value"`
		Limit    string `json:"limit"`
		Unit     string `json:"unit"`
		Market   string `json:"market"`
		Source   string `json:"source"`
		Message  string `json:"message"`
		Mend     string `json:"mend"`
		Accepted string `json:"accepted"`
	}
)

// tellingAll writes for the maker.
var tellingAll = formulaPen{
	shows: func(string) bool { return true }, tellsLabel: func(handbook.Worked) bool { return true }, keepsSums: func(handbook.Worked) bool { return false },
}

// readFormula reads a formula.json strictly and sees that writing it again gives the same bytes.
func readFormula(t testing.TB, text string) (f readFile) {
	t.Helper()
	readAgain(t, text, &f)
	return f
}

// readVersionOf reads what is written of one version, likewise.
func readVersionOf(t testing.TB, w handbook.Worked) (v readVersion) {
	t.Helper()
	readAgain(t, string(VersionJSON(w)), &v)
	return v
}

func readAgain(t testing.TB, text string, into any) {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(into))
	_, err := dec.Token()
	require.ErrorIs(t, err, io.EOF, "there is one value and nothing after it")
	again, err := EncodeJSON(into)
	require.NoError(t, err)
	require.Equal(t, text, string(again))
}

// The numbers of the first batch of the hand cream are those that the description of the format prints.
func TestFormulaFileOfTheHandCream(t *testing.T) {
	f := hedgerowFormula(t)
	assert.Equal(t, 1, f.Schema)
	assert.Equal(t, "hedgerow-hand-cream", f.Recipe)
	assert.Equal(t, "hand cream", f.Product)
	assert.Equal(t, "leave-on", f.Category)
	var names []string
	for _, v := range f.Versions {
		names = append(names, v.Kind+" "+v.Name)
	}
	assert.Equal(t, []string{"base base", "variant Night version", "split Plain", "split Rich"}, names)

	base := f.Versions[0]
	assert.Equal(t, readItem{Phase: "A", PhaseName: "Water", Ingredient: "distilled-water", Name: "Distilled water", Written: "q.s.", Percent: "72.15"}, base.Items[0])
	b := base.Batches[0]
	assert.Equal(t, "250 g", b.Size)
	assert.Equal(t, "250", b.NominalG)
	assert.Equal(t, "250", b.TotalG)
	assert.Equal(t, readWeight{Ingredient: "distilled-water", Phase: "A", ExactG: "180.375", WeighG: "180.4", WeighOz: "6.36"}, b.Items[0])
	assert.Equal(t, &readFill{Containers: 2, EachG: "96.388", LeftG: "49.9"}, b.Fill)
}

// The whole of the hand cream's file, but for its findings, which have tests of their own.
func TestFormulaFileGolden(t *testing.T) {
	f := hedgerowFormula(t)
	for i := range f.Versions {
		f.Versions[i].Findings = []readFinding{}
	}
	text, err := EncodeJSON(f)
	require.NoError(t, err)
	golden.Equal(t, "testdata/hedgerow-formula.json", string(text))
}

func hedgerowFormula(t testing.TB) readFile {
	t.Helper()
	b := bookIn(t, os.DirFS(hedgerowFolder))
	for _, r := range b.Recipes {
		if r.Slug == "hedgerow-hand-cream" {
			text := formulaJSON(r, b.Worked(r), b.copies(r), tellingAll)
			return readFormula(t, string(text))
		}
	}
	require.Fail(t, "the hand cream is not there")
	return readFile{}
}

var decimal = regexp.MustCompile(`^-?\d+(\.\d{1,6})?$`)

// In every file of the demonstration each number is a decimal string, each column of weights adds up to its total, and the
// percents of each version add up to 100: exactly, as they are printed.
func TestFormulaFilesAddUp(t *testing.T) {
	b := bookIn(t, os.DirFS(demoFolder))
	columns := 0
	for _, r := range b.Recipes {
		text := formulaJSON(r, b.Worked(r), b.copies(r), tellingAll)
		f := readFormula(t, string(text))
		require.NotEmpty(t, f.Versions, r.Slug)
		checkDecimals(t, r.Slug, reflect.ValueOf(f))
		for _, v := range f.Versions {
			percents := make([]string, len(v.Items))
			for i, item := range v.Items {
				percents[i] = item.Percent
			}
			assert.Equal(t, "100", sumOf(t, percents), "percents of %s, %s", r.Slug, v.Name)
			for _, batch := range v.Batches {
				columns++
				require.Len(t, batch.Items, len(v.Items))
				grams := make([]string, len(batch.Items))
				for i, item := range batch.Items {
					grams[i] = item.WeighG
					assert.Equal(t, v.Items[i].Ingredient, item.Ingredient)
					assert.Equal(t, v.Items[i].Phase, item.Phase)
				}
				assert.Equal(t, batch.TotalG, sumOf(t, grams), "grams of %s, %s, %s", r.Slug, v.Name, batch.Size)
			}
		}
	}
	assert.Greater(t, columns, 100)
}

// checkDecimals holds every field that is a number to the form of a decimal.
func checkDecimals(t *testing.T, path string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			checkDecimals(t, path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			checkDecimals(t, path, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			switch name {
			case "Percent", "NominalG", "TotalG", "ExactG", "WeighG", "WeighOz", "EachG", "LeftG":
				assert.Regexp(t, decimal, v.Field(i).String(), "%s.%s", path, name)
			case "Value", "Limit":
				if s := v.Field(i).String(); s != "" {
					assert.Regexp(t, decimal, s, "%s.%s", path, name)
				}
			default:
				checkDecimals(t, path+"."+name, v.Field(i))
			}
		}
	}
}

func sumOf(t *testing.T, numbers []string) string {
	t.Helper()
	sum := quantity.Number{}
	for _, s := range numbers {
		n, err := quantity.ParseNumber(s)
		require.NoError(t, err, s)
		sum = sum.Add(n)
	}
	return sum.Text(6)
}

// eachRecipe does something with the recipes of a long handbook in turn, a recipe an operation. They are worked out, and so are their labels.
func eachRecipe(b *testing.B, do func(s *Build, r *handbook.Recipe)) {
	b.Helper()
	s := longBuild(b, 50, OpenEdition)
	for _, r := range s.recipes {
		s.copies(r)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		do(s, s.recipes[i%len(s.recipes)])
	}
}

func BenchmarkFormulaJSON(b *testing.B) {
	eachRecipe(b, func(s *Build, r *handbook.Recipe) { s.formulaFile(r) })
}
