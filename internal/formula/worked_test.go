package formula_test

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/material"
	"larkrow.example/stillroom/internal/quantity"
)

// A worked example is a sum whose answer is known from elsewhere; testdata/worked-examples.yaml says how it is written.
type worked struct {
	ID, Title, Reading, Source, Address, Status, Note string
	Given                                             given
	Expect                                            expected
	Within                                            string
	WithinPart                                        string `yaml:"within_part"`
}

type given struct {
	Formula []struct {
		Phase string
		Weigh yaml.Node // ingredient: amount, in order
	}
	Density      map[string]string
	Makes, Scale string
	Fixed        bool // nothing may be moved by rounding
	Batches      []string
	Fill         struct{ Container, Takes, Density, Loss string }
	Convert, At  string
	Temperatures []string
}

type expected struct {
	Batch, Total, Each, Left, Containers, Celsius []string
	Weights, Weighed, Phases                      map[string][]string
	Percents, Shares                              map[string]string
	Refused, Remark, Converted                    string
	TooLight                                      []bool `yaml:"too_light"`
}

// answers counts what an example expects, so that a misspelt key cannot make one that checks nothing.
func (e expected) answers() int {
	n := len(e.Batch) + len(e.Total) + len(e.Each) + len(e.Left) + len(e.Containers) + len(e.Celsius) + len(e.TooLight) + len(e.Percents) + len(e.Shares)
	for _, m := range []map[string][]string{e.Weights, e.Weighed, e.Phases} {
		for _, list := range m {
			n += len(list)
		}
	}
	for _, s := range []string{e.Refused, e.Remark, e.Converted} {
		if s != "" {
			n++
		}
	}
	return n
}

func TestWorkedExamples(t *testing.T) {
	t.Parallel()
	var file struct {
		Examples  []worked
		Elsewhere []struct {
			Because string
			RunBy   string   `yaml:"run_by"` // the file, from the repository's top, where the examples are; "" where none runs them
			IDs     []string `yaml:"ids"`
		}
	}
	text, err := os.ReadFile("../../testdata/worked-examples.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(text, &file, yaml.WithKnownFields()))

	run, listed := make(map[string]bool), make(map[string]bool)
	for _, e := range file.Examples {
		run[e.ID] = true
		t.Run(e.ID+" "+e.Title+" "+e.Reading, func(t *testing.T) {
			w := &working{T: t, worked: e}
			w.run()
			assert.Equal(t, e.Expect.answers(), w.asked, "every answer is asked for once")
			assert.Positive(t, w.asked, "the example asks for nothing")
			assert.NotEmpty(t, e.Source)
			assert.Contains(t, []string{"read", "memory", "common practice"}, e.Status)
			if e.Status == "read" {
				assert.NotEmpty(t, e.Address, "what was read has an address")
			}
		})
	}
	for _, row := range file.Elsewhere {
		assert.NotEmpty(t, row.Because)
		var elsewhere []byte
		if row.RunBy != "" {
			elsewhere, err = os.ReadFile("../../" + row.RunBy)
			require.NoError(t, err)
		}
		for _, id := range row.IDs {
			assert.True(t, row.RunBy == "" || bytes.Contains(elsewhere, []byte(id)), "%s is not in %s", id, row.RunBy)
			assert.False(t, run[id] || listed[id], "%s stands twice", id)
			listed[id] = true
		}
	}
	assert.Len(t, file.Examples, 44, "examples that are run; ratio-04 has two readings")
	assert.Len(t, run, 43)
	assert.Equal(t, 108, len(run)+len(listed), "an example is neither run nor listed with the reason")
}

// working is one example while it is run.
type working struct {
	*testing.T
	worked
	asked int
}

func (w *working) run() {
	switch {
	case w.Given.Convert != "":
		w.convert()
	case w.Given.Temperatures != nil:
		w.temperatures()
	default:
		w.solve()
	}
}

func (w *working) number(text string) quantity.Number {
	w.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(w, err, text)
	return n
}

func (w *working) mass(text string) quantity.Mass {
	w.Helper()
	m, err := quantity.ParseMass(text)
	require.NoError(w, err, text)
	return m
}

func (w *working) density(text string) quantity.Density {
	w.Helper()
	d, err := quantity.ParseDensity(text)
	require.NoError(w, err, text)
	return d
}

// near asserts an answer within the example's margin.
func (w *working) near(want, got quantity.Number, what string) {
	w.Helper()
	w.asked++
	margin := quantity.Number{}
	if w.Within != "" {
		margin = w.number(w.Within)
	}
	if w.WithinPart != "" {
		margin = w.number(w.WithinPart).Mul(want)
	}
	off := want.Sub(got)
	if off.Sign() < 0 {
		off = off.Neg()
	}
	assert.LessOrEqual(w, off.Cmp(margin), 0, "%s: want %s, got %s", what, want.Text(12), got.Text(12))
}

// convert reads an amount and gives it in the unit of the answer.
func (w *working) convert() {
	a, err := quantity.ParseAmount(w.Given.Convert)
	require.NoError(w, err)
	if w.Given.At != "" {
		a = quantity.Amount{Kind: quantity.Weight, Mass: a.Volume.Weigh(w.density(w.Given.At))}
	}
	want, err := quantity.ParseAmount(w.Expect.Converted)
	require.NoError(w, err)
	require.Equal(w, want.Kind, a.Kind)
	w.near(want.Mass.Grams().Add(want.Volume.Millilitres()), a.Mass.Grams().Add(a.Volume.Millilitres()), "converted")
}

func (w *working) temperatures() {
	require.Len(w, w.Expect.Celsius, len(w.Given.Temperatures))
	for i, text := range w.Given.Temperatures {
		got, err := quantity.ParseTemperature(text)
		require.NoError(w, err)
		want, err := quantity.ParseTemperature(w.Expect.Celsius[i] + " °C")
		require.NoError(w, err)
		w.near(want.Celsius(), got.Celsius(), text)
	}
}

// written reads the example's formula, amount by amount.
func (w *working) written() formula.Formula {
	var f formula.Formula
	for _, p := range w.Given.Formula {
		phase := formula.Phase{Name: p.Phase}
		for i := 0; i+1 < len(p.Weigh.Content); i += 2 {
			name := p.Weigh.Content[i].Value
			amount, err := quantity.ParseAmount(p.Weigh.Content[i+1].Value)
			require.NoError(w, err, name)
			line := formula.Line{Ingredient: formula.Ingredient{Name: name, Fixed: w.Given.Fixed}, Amount: amount}
			if d := w.Given.Density[name]; d != "" {
				line.Density = w.density(d)
			}
			phase.Lines = append(phase.Lines, line)
		}
		f.Phases = append(f.Phases, phase)
	}
	if w.Given.Makes != "" {
		f.Makes = w.mass(w.Given.Makes)
	}
	return f
}

func (w *working) solve() {
	v, problems := formula.Solve(w.written())
	if w.Expect.Refused != "" {
		w.asked++
		require.Nil(w, v)
		require.ErrorContains(w, problems.Err(), w.Expect.Refused)
		return
	}
	require.NoError(w, problems.Err())
	if w.Expect.Remark != "" {
		w.asked++
		require.Len(w, v.Remarks, 1)
		assert.Contains(w, v.Remarks[0], w.Expect.Remark)
	}
	for name, want := range w.Expect.Percents {
		w.near(w.number(want), w.sum(v, v.Find(name), name, v.Percent), "percent of "+name)
	}
	for name, want := range w.Expect.Shares {
		w.near(w.number(want), w.sum(v, v.Find(name), name, v.Share), "share of "+name)
	}
	for i, text := range w.Given.Batches {
		w.batch(v, i, text)
	}
}

// sum adds up what some items have of something.
func (w *working) sum(v *formula.Version, items []int, name string, of func(int) quantity.Number) quantity.Number {
	w.Helper()
	require.NotEmpty(w, items, "%s is not in the formula", name)
	var total quantity.Number
	for _, i := range items {
		total = total.Add(of(i))
	}
	return total
}

// batch weighs one batch and asks for all that is expected of it.
func (w *working) batch(v *formula.Version, n int, text string) {
	b, err := quantity.ParseBatch(text)
	require.NoError(w, err)
	sized, err := v.Size(b, w.fills())
	require.NoError(w, err)
	var scale quantity.Scale
	if w.Given.Scale != "" {
		scale, err = quantity.NewScale([]quantity.ScaleRange{{Reads: w.mass(w.Given.Scale)}})
		require.NoError(w, err)
	}
	column := v.Weigh(sized, scale)
	exact := v.Exact(sized.Weight)

	w.massAt(w.Expect.Batch, n, sized.Weight.Grams(), "batch")
	w.massAt(w.Expect.Total, n, column.Total.Grams(), "total")
	for name, want := range w.Expect.Weights {
		w.massAt(want, n, w.sum(v, v.Find(name), name, func(i int) quantity.Number { return exact[i] }), name)
	}
	for name, want := range w.Expect.Phases {
		w.massAt(want, n, w.sum(v, v.FindPhase(name), name, func(i int) quantity.Number { return exact[i] }), name)
	}
	for name, want := range w.Expect.Weighed {
		w.massAt(want, n, w.sum(v, v.Find(name), name, func(i int) quantity.Number { return column.Weights[i].Mass.Grams() }), name)
	}
	w.filled(sized.Filled, n)
	if n < len(w.Expect.TooLight) {
		w.asked++
		assert.Equal(w, w.Expect.TooLight[n], tooLight(v, check.Batch{Written: text, Sized: sized, Column: column}, scale), text)
	}
}

// massAt asks for the weight that is expected of the n-th batch, if any is.
func (w *working) massAt(want []string, n int, got quantity.Number, what string) {
	w.Helper()
	if n < len(want) {
		w.near(w.mass(want[n]).Grams(), got, what)
	}
}

// fills gives the example's fill, a volume turned into a weight by the density.
func (w *working) fills() []formula.Fill {
	g := w.Given.Fill
	if g.Container == "" {
		return nil
	}
	takes, err := quantity.ParseAmount(g.Takes)
	require.NoError(w, err)
	fill := formula.Fill{Container: g.Container, Takes: takes.Mass}
	if takes.NeedsDensity() {
		fill.Takes = takes.Volume.Weigh(w.density(g.Density))
	}
	if g.Loss != "" {
		fill.Loss, err = quantity.ParsePercent(g.Loss)
		require.NoError(w, err)
	}
	return []formula.Fill{fill}
}

func (w *working) filled(f *formula.Filled, n int) {
	if n >= len(w.Expect.Containers) {
		return
	}
	require.NotNil(w, f)
	w.near(w.number(w.Expect.Containers[n]), quantity.Int(f.Count), "containers")
	w.massAt(w.Expect.Each, n, f.Each.Grams(), "what each takes")
	w.massAt(w.Expect.Left, n, f.Left.Grams(), "what is left")
}

// tooLight says whether the checks find a weight that the scale cannot read closely.
func tooLight(v *formula.Version, b check.Batch, scale quantity.Scale) bool {
	findings := check.Run(&check.Subject{Version: v, Materials: make([]*material.Material, len(v.Items)), Batches: []check.Batch{b}, Scale: scale})
	return slices.ContainsFunc(findings, func(f check.Finding) bool { return f.Code == "below-scale" })
}
