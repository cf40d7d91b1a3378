package record_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/check"
	"larkrow.example/stillroom/internal/record"
)

// One material under two of its names is one line: it is weighed once, needed once and bought once.
func TestAnotherNameOfTheMaterial(t *testing.T) {
	t.Parallel()
	files := map[string]string{
		"batches/c-1.md": strings.NewReplacer("Sunflower oil:", "Kitchen oil:", "weighed: 30.1 g", "weighed: 30.2 g", "10.1 g", "10.2 g").Replace(cream(t)["batches/c-1.md"]),
		"batches/a-1.md": "---\nbatch: A-1\nrecipe: cream\nsize: 200 g\nweighed:\n  Kitchen oil: {target: 30 g}\n---\n",
	}
	shelf := shop(files)
	page := shelf["ingredients/sunflower-oil.md"]
	page.Data = []byte(strings.Replace(string(page.Data), "role: oil", "also: [kitchen oil]\nrole: oil", 1))
	h := load(t, shelf)
	for _, r := range h.Records {
		b := record.Of(h, r)
		assert.Len(t, b.Lines, 5, "the recipe's, and no line beside them")
		assert.Equal(t, "200 g", b.Target.String())
		assert.Empty(t, b.Remarks)
	}
	for _, s := range record.NewLedger(h).Stock(time.Time{}) {
		if s.ID == "sunflower-oil" {
			assert.Equal(t, "30 g", s.Needed.String())
			assert.Equal(t, "89.8 g", s.There.String(), "120 g less 30.2 g")
		}
	}
}

// What came from two lots in shares that nobody wrote down is taken off them together, and a recall finds the batch by each.
func TestSharesThatAreNotTold(t *testing.T) {
	t.Parallel()
	k := record.NewLedger(load(t, shop(map[string]string{"batches/a-1.md": sunflower("A-1", "2026-06-01", "{weighed: 30 g, lot: [S-1, S-2]}")})))
	for _, code := range []string{"S-1", "S-2"} {
		lots := k.Lots(code)
		require.Len(t, lots, 1)
		require.Len(t, lots[0].Uses, 1, code)
		assert.Equal(t, "A-1", lots[0].Uses[0].Record.Code)
		assert.False(t, lots[0].Uses[0].Told())
		assert.False(t, lots[0].Told())
		assert.Equal(t, "0 g", lots[0].Used().String(), "no share is made up")
	}
	for day, want := range map[string]string{"": "90 g", "2026-11-01": "70 g", "2027-04-01": "0 g"} { // S-1 holds 20 g and S-2 100 g: at least so much
		on, _ := time.Parse(time.DateOnly, day)
		for _, s := range k.Stock(on) {
			if s.Name == "Sunflower oil" {
				require.Len(t, s.Together, 1)
				assert.Equal(t, "30 g", s.Together[0].Weight.String())
				assert.Equal(t, want, s.There.String(), day)
			}
		}
	}
}

// The latest day in the records stands for today where the day of building may not count.
func TestDay(t *testing.T) {
	t.Parallel()
	h := load(t, shop(cream(t)))
	assert.Equal(t, "2026-06-02", record.NewLedger(h).Day(h).Format(time.DateOnly), "the day on which it was judged")
	h = load(t, shop(nil))
	assert.Equal(t, "2026-02-02", record.NewLedger(h).Day(h).Format(time.DateOnly), "the day on which a lot was opened")
}

// What is in the pot cannot be weighed anew, so a batch with a stop finding is to be set aside, released or not.
func TestStopsOfABatchThatIsMade(t *testing.T) {
	t.Parallel()
	b := batch(t, "weighed: 2.00 g", "weighed: 0.4 g, note: The bottle was empty.")
	stops := b.Stops()
	require.NotEmpty(t, stops)
	for _, f := range stops {
		assert.Equal(t, check.Stop, f.Level)
		assert.Contains(t, f.Mend, "set it aside, and ask a qualified assessor")
	}
	for _, f := range b.Findings {
		if f.Level == check.Caution && f.Mend != "" {
			assert.Regexp(t, "^For the next batch: ", f.Mend)
		}
	}
	require.NotEmpty(t, b.Remarks)
	assert.Equal(t, check.Stop, b.Remarks[0].Level)
	assert.Regexp(t, `^As it was weighed the batch has (a stop finding|\d stop findings) and may not be used, though it was released\.$`, b.Remarks[0].Message)
	assert.Empty(t, batch(t).Stops())
	assert.False(t, b.Refused())
	assert.True(t, batch(t, "passed: yes", "passed: no").Refused())
}

// That the recipe changed since is said where its page tells so, and not made up.
func TestChangedSince(t *testing.T) {
	t.Parallel()
	for day, want := range map[string]string{"2026-05-31": "it differs from the recipe as it is now", "2026-06-02": "the recipe changed since"} {
		files := shop(cream(t, "target: 8.00 g", "target: 7.98 g"))
		page := files["recipes/cream.md"]
		page.Data = []byte(strings.Replace(string(page.Data), "time: 30 min", "time: 30 min\nupdated: "+day, 1))
		h := load(t, files)
		b := record.Of(h, h.Records[0])
		require.Len(t, b.Remarks, 1)
		assert.Contains(t, b.Remarks[0].Message, want, day)
		assert.Equal(t, check.Note, b.Remarks[0].Level)
	}
}

// A version that is gone leaves the record of a made batch standing, as a recipe does.
func TestVersionThatIsGone(t *testing.T) {
	t.Parallel()
	b := batch(t, "recipe: cream", "recipe: cream\nversion: Winter")
	assert.Nil(t, b.Version)
	require.Len(t, b.Remarks, 1)
	assert.Equal(t, "Cream has no version “Winter” now: the record stands by its own targets, and the batch is not checked.", b.Remarks[0].Message)
	assert.Equal(t, "200 g", b.Target.String())
}

// Only those who know what day it is can tell that a day is still to come.
func TestAhead(t *testing.T) {
	t.Parallel()
	b := batch(t)
	for day, ahead := range map[string]bool{"2026-05-31": true, "2026-06-01": false, "2026-06-02": false} {
		today, err := time.Parse(time.DateOnly, day)
		require.NoError(t, err)
		assert.Equal(t, ahead, record.Ahead(b.Record, today.Add(23*time.Hour)) != nil, day)
	}
	planned := load(t, shop(map[string]string{"batches/a-1.md": sunflower("A-1", "", "{target: 30 g}")}))
	assert.Nil(t, record.Ahead(planned.Records[0], time.Time{}))
}
