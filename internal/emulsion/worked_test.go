package emulsion_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/emulsion"
	"larkrow.example/stillroom/internal/quantity"
)

// A worked example is a sum whose answer is known from elsewhere; testdata/worked-examples.yaml says how it is written.
type worked struct {
	ID, Title, Sum, Source, Address, Status, Note string
	Parts                                         map[string]string
	Split                                         struct{ One, Other, Wanted, Of string }
	Values                                        struct{ Saponification, Acid string }
	Expect                                        map[string]string
	Refused, Within                               string
}

func TestWorkedExamples(t *testing.T) {
	t.Parallel()
	var examples []worked
	text, err := os.ReadFile("testdata/worked-examples.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(text, &examples, yaml.WithKnownFields()))
	require.Len(t, examples, 11)
	for _, e := range examples {
		t.Run(e.ID+" "+e.Title, func(t *testing.T) {
			require.NotEqual(t, e.Refused != "", e.Expect != nil, "the example asks for an answer or for none")
			answers, err := e.answers(t)
			if e.Refused != "" {
				require.EqualError(t, err, e.Refused)
			} else {
				require.NoError(t, err)
			}
			for what, want := range e.Expect {
				got, ok := answers[what]
				require.True(t, ok, "%s is not among the answers", what)
				off := num(t, want).Sub(got)
				if off.Sign() < 0 {
					off = off.Neg()
				}
				assert.LessOrEqual(t, off.Cmp(num(t, e.Within)), 0, "%s: want %s, got %s", what, want, got.Text(9))
			}
			assert.NotEmpty(t, e.Source)
			assert.Contains(t, []string{"read", "memory", "common practice"}, e.Status)
			assert.Equal(t, e.Status == "read", e.Address != "", "what was read has an address")
		})
	}
}

func num(t testing.TB, text string) quantity.Number {
	t.Helper()
	n, err := quantity.ParseNumber(text)
	require.NoError(t, err, text)
	return n
}

func at(n quantity.Number) *quantity.Interval { return &quantity.Interval{Low: n, High: n} }

func (e *worked) answers(t *testing.T) (map[string]quantity.Number, error) {
	switch e.Sum {
	case "mix":
		return e.mix(t), nil
	case "split":
		return e.split(t)
	case "values":
		hlb, err := emulsion.FromValues(num(t, e.Values.Saponification), num(t, e.Values.Acid))
		return map[string]quantity.Number{"hlb": hlb}, err
	}
	require.Fail(t, "there is no sum "+e.Sum)
	return nil, nil
}

func (e *worked) mix(t *testing.T) map[string]quantity.Number {
	var parts []emulsion.Part
	for name, words := range e.Parts {
		weight, hlb, ok := strings.Cut(words, " at ")
		require.True(t, ok, words)
		parts = append(parts, emulsion.Part{Name: name, Weight: num(t, weight), HLB: at(num(t, hlb))})
	}
	b := emulsion.Mix(parts)
	assert.True(t, b.Whole())
	middle, known := b.Middle()
	assert.True(t, known)
	return map[string]quantity.Number{"weight": b.Weight, "hlb": middle}
}

func (e *worked) split(t *testing.T) (map[string]quantity.Number, error) {
	first, second, err := emulsion.Split(num(t, e.Split.One), num(t, e.Split.Other), num(t, e.Split.Wanted))
	all := map[string]quantity.Number{"first": first, "second": second}
	if e.Split.Of != "" {
		part := num(t, e.Split.Of).Quo(quantity.Int(100))
		all["amount of first"], all["amount of second"] = first.Mul(part), second.Mul(part)
	}
	return all, err
}
