package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/quantity"
)

func TestParseInterval(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ in, low, high, written string }{
		{"5.5", "5.5", "5.5", "5.5"},
		{"5.0–5.5", "5", "5.5", "5–5.5"},
		{"5.0-5.5", "5", "5.5", "5–5.5"},
		{" 5,0 — 5,5 ", "5", "5.5", "5–5.5"},
		{"5.0 to 5.5", "5", "5.5", "5–5.5"},
		{"184\u00a0–\u00a0196", "184", "196", "184–196"},
		{"3–3", "3", "3", "3"},
		{"⅓–½", "1/3", "1/2", "1/3–0.5"},
		{"0–14", "0", "14", "0–14"},
	} {
		v, err := quantity.ParseInterval(row.in)
		require.NoError(t, err, row.in)
		equal(t, row.low, v.Low, row.in)
		equal(t, row.high, v.High, row.in)
		assert.Equal(t, row.written, v.String())
		back, err := quantity.ParseInterval(v.String())
		require.NoError(t, err, v.String())
		equal(t, row.low, back.Low, "read back")
		equal(t, row.high, back.High, "read back")
	}
	checkRefusals(t, func(text string) error { _, err := quantity.ParseInterval(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"5.0–⟦⟧", "a number should stand here"},
		{"5.0 to ⟦h⟧igh", "a number should stand here"},
		{"⟦5.5–5.0⟧", "backwards"},
		{"⟦5.0–5.5 pH⟧", "does not belong"},
		{"⟦5.0–5.5–6⟧", "does not belong"},
		{"⟦–⟧5", "a number should stand here"},
		{"⟦1,000⟧–2,000", "ambiguous"},
	})
}

func TestParseTemperature(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ in, celsius, fahrenheit, written string }{
		{"75 °C", "75", "167", "75 °C"},
		{"75°C", "75", "167", "75 °C"},
		{"75 C", "75", "167", "75 °C"},
		{"75c", "75", "167", "75 °C"},
		{"75\u00a0°\u202fC", "75", "167", "75 °C"},
		{"75 ºC", "75", "167", "75 °C"},
		{"75 ˚C", "75", "167", "75 °C"},
		{"75 ℃", "75", "167", "75 °C"},
		{"167 °F", "75", "167", "75 °C"},
		{"167 ℉", "75", "167", "75 °C"},
		{"98.6 °F", "37", "98.6", "37 °C"}, // NIST SP 811, section B.9
		{"75 °F", "215/9", "75", "24 °C"},
		{"−40 °F", "-40", "-40", "-40 °C"},
		{"-18 °C", "-18", "-0.4", "-18 °C"},
		{"0 °C", "0", "32", "0 °C"},
		{"0 °F", "-160/9", "0", "-18 °C"},
		{"62½ °C", "62.5", "144.5", "63 °C"},
		{"400 °C", "400", "752", "400 °C"},
		{"-60 °C", "-60", "-76", "-60 °C"},
	} {
		temp, err := quantity.ParseTemperature(row.in)
		require.NoError(t, err, row.in)
		equal(t, row.celsius, temp.Celsius(), row.in)
		equal(t, row.fahrenheit, temp.Fahrenheit(), row.in)
		assert.Equal(t, row.written, temp.String(), row.in)
		assert.Equal(t, temp, quantity.Celsius(temp.Celsius()))
	}
	checkRefusals(t, func(text string) error { _, err := quantity.ParseTemperature(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"⟦w⟧arm", "a number should stand here"},
		{"⟦75⟧", "a temperature should stand here"},
		{"⟦75 °⟧", "a temperature should stand here"},
		{"⟦75 K⟧", "a temperature should stand here"},
		{"⟦75 °C warm⟧", "a temperature should stand here"},
		{"⟦62–65 °C⟧", "range"},
		{"⟦750 °C⟧", "no workroom"},
		{"⟦-61 °C⟧", "no workroom"},
		{"⟦1,000⟧ °F", "ambiguous"},
	})
}

func TestParseTemperatures(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ in, low, high string }{
		{"63 °C", "63", "63"},
		{"62–65 °C", "62", "65"},
		{"62 to 65 °C", "62", "65"},
		{"62-65°C", "62", "65"},
		{"144–149 °F", "560/9", "65"},
		{"-6 °C", "-6", "-6"},
		{"−18 – −10 °C", "-18", "-10"},
		{"-18–-10 °C", "-18", "-10"},
		{"-3–4 °C", "-3", "4"},
		{"70 °C – 75 °C", "70", "75"},
		{"70 ℃ to 75 ℃", "70", "75"},
		{"⅓–½ °C", "1/3", "1/2"},
	} {
		both, err := quantity.ParseTemperatures(row.in)
		require.NoError(t, err, row.in)
		equal(t, row.low, both.Low.Celsius(), row.in)
		equal(t, row.high, both.High.Celsius(), row.in)
	}
	checkRefusals(t, func(text string) error { _, err := quantity.ParseTemperatures(text); return err }, []refusal{
		{"⟦⟧", "a number should stand here"},
		{"⟦62–65⟧", "a temperature should stand here"},
		{"⟦62–65 5 °C⟧", "a temperature should stand here"},
		{"⟦65–62 °C⟧", "backwards"},
		{"⟦62–650 °C⟧", "no workroom"},
		{"⟦70 °F–75 °C⟧", "different scales"},
		{"⟦-90–10 °C⟧", "no workroom"},
		{"62–⟦⟧", "a number should stand here"},
	})
}

func TestParseDurations(t *testing.T) {
	t.Parallel()
	for in, want := range map[string][2]int64{ // seconds
		"45 min": {2700, 2700}, "3–5 min": {180, 300}, "3-5 min": {180, 300}, "3 to 5 min": {180, 300}, "30 s": {30, 30}, "1 h 10 min": {4200, 4200},
		"10 min to 1 h": {600, 3600}, "1–1½ hours": {3600, 5400}, "4–6 weeks": {2419200, 3628800}, "1/7 s": {0, 0}, "1/3 min": {20, 20}, "1/7 min": {8, 8},
	} {
		low, high, err := quantity.ParseDurations(in)
		require.NoError(t, err, in)
		from, ok1 := low.Seconds()
		to, ok2 := high.Seconds()
		assert.Equal(t, want, [2]int64{from, to}, in)
		assert.True(t, ok1 && ok2, in)
	}
	long, _, err := quantity.ParseDurations("9999999999999999999 years")
	require.NoError(t, err)
	_, countable := long.Seconds()
	assert.False(t, countable)
	refuses := func(text string) error {
		_, _, err := quantity.ParseDurations(text)
		return err
	}
	checkRefusals(t, refuses, []refusal{
		{"⟦5–3 min⟧", "backwards"},
		{"⟦2 h to 10 min⟧", "backwards"},
		{"⟦3–5⟧", "unit of time is missing"},
		{"⟦a while⟧", "a length of time should stand here"},
		{"⟦3–5–7 min⟧", "range"},
		{"⟦–5 min⟧", "a length of time should stand here"},
	})
}

func TestParseDuration(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ in, minutes, unit, written string }{
		{"45 min", "45", "minute", "45 minutes"},
		{"45min.", "45", "minute", "45 minutes"},
		{"1 minute", "1", "minute", "1 minute"},
		{"60 min", "60", "minute", "1 hour"},
		{"90 min", "90", "minute", "1 hour 30 minutes"},
		{"121 min", "121", "minute", "2 hours 1 minute"},
		{"1 1/2 hours", "90", "hour", "1.5 hours"},
		{"1 h 10 min", "70", "minute", "1 hour 10 minutes"},
		{"1h10min", "70", "minute", "1 hour 10 minutes"},
		{"½ h", "30", "hour", "0.5 hours"},
		{"2 hrs", "120", "hour", "2 hours"},
		{"3 Days", "4320", "day", "3 days"},
		{"1 week", "10080", "week", "1 week"},
		{"1 week 2 days", "12960", "day", "9 days"},
		{"6\u00a0months", "262980", "month", "6 months"},
		{"2 years", "1051920", "year", "2 years"},
		{"1 year 6 months", "788940", "month", "18 months"},
		{"0,5 year", "262980", "year", "0.5 years"},
		{"9999999999999999999 min", "9999999999999999999", "minute", "166666666666666666 hours 39 minutes"},
	} {
		d, err := quantity.ParseDuration(row.in)
		require.NoError(t, err, row.in)
		equal(t, row.minutes, d.Minutes(), row.in)
		assert.Equal(t, row.unit, d.Unit)
		assert.Equal(t, row.written, d.String())
		back, err := quantity.ParseDuration(d.String())
		require.NoError(t, err, d.String())
		assert.Equal(t, 0, d.Minutes().Cmp(back.Minutes()), "read back from %s", d)
	}
	assert.Equal(t, "0", quantity.Duration{}.Minutes().String())
	checkRefusals(t, func(text string) error { _, err := quantity.ParseDuration(text); return err }, []refusal{
		{"⟦⟧", "a length of time should stand here"},
		{"⟦soon⟧", "a length of time should stand here"},
		{"⟦-5 min⟧", "a length of time should stand here"},
		{"45⟦⟧", "unit of time is missing"},
		{"45 ⟦%⟧", "unit of time is missing"},
		{"1 h 30⟦⟧", "unit of time is missing"},
		{"3 ⟦monts⟧", "“monts” is not a unit of time"},
		{"1 h ⟦or so⟧", "does not belong"},
		{"⟦10 min 1 h⟧", "wrong order"},
		{"⟦10 min 10 min⟧", "wrong order"},
		{"⟦0 min⟧", "no time at all"},
		{"⟦0 h 0 min⟧", "no time at all"},
		{"⟦3–5 min⟧", "range"},
		{"⟦1,000⟧ days", "ambiguous"},
	})
	_, err := quantity.ParseDuration("3 monts")
	assert.Equal(t, "did you mean “months”?", syntaxError(t, "3 monts", err).Hint)
}
