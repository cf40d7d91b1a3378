package handbook

import (
	"errors"
	"strings"

	"go.yaml.in/yaml/v4"

	"larkrow.example/stillroom/internal/quantity"
)

// maxBatches and maxVersions are how many a page can offer to choose from.
const (
	maxBatches  = 8
	maxVersions = 12
)

// batches reads a list of batches.
func (d *document) batches(n *yaml.Node) []BatchLine {
	items := d.list(n)
	if len(items) == 0 {
		return nil
	}
	all := make([]BatchLine, 0, len(items))
	for i := 0; i < len(items); i++ {
		if n.Style&yaml.FlowStyle != 0 && d.cutByComma(items, i) {
			i++ // both pieces are told of
			continue
		}
		if b, ok := read(d, items[i], quantity.ParseBatch); ok {
			all = append(all, BatchLine{Batch: b, At: d.span(items[i])})
		}
	}
	if len(all) > maxBatches {
		d.problems.Addf(all[maxBatches].At, "take some out; any other size can be had by weigh", "a page can show %d batches, not %d", maxBatches, len(all))
		all = all[:maxBatches]
	}
	return all
}

// cutByComma tells of one batch that the comma in it has cut into two values of a list in square brackets: 1,000 g, or
// from 340 g Shea butter, refined.
func (d *document) cutByComma(items []*yaml.Node, i int) bool {
	if i+1 >= len(items) || items[i].Kind != yaml.ScalarNode || items[i+1].Kind != yaml.ScalarNode {
		return false
	}
	first, second := d.span(items[i]), d.span(items[i+1])
	_, err1 := quantity.ParseBatch(items[i].Value)
	_, err2 := quantity.ParseBatch(items[i+1].Value)
	if err1 == nil && err2 == nil || first.End > second.Start {
		return false
	}
	first.End = second.End
	whole := first.Text()
	_, err := quantity.ParseBatch(whole)
	var syntax *quantity.SyntaxError
	switch {
	case err == nil:
		d.problems.Addf(first, "put quotes around it: \""+whole+"\"", "inside square brackets a comma parts two values, and this is one")
	case errors.As(err, &syntax) && strings.Contains(syntax.Message, "ambiguous"):
		d.problems.Addf(first, syntax.Hint, "%s", syntax.Message)
	default:
		return false
	}
	return true
}
