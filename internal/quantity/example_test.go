package quantity_test

import (
	"errors"
	"fmt"

	"larkrow.example/stillroom/internal/quantity"
)

func ExampleParseAmount() {
	for _, text := range []string{"2 lb 4 oz", "1½ tsp", "3 % of Oil", "1 oz per 10 oz"} {
		a, err := quantity.ParseAmount(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		switch a.Kind {
		case quantity.Weight:
			fmt.Println(a.Mass)
		case quantity.Measure:
			fmt.Println(a.Volume, "and a density to weigh it by:", a.NeedsDensity())
		case quantity.Share:
			fmt.Println(a.Number, "% of", a.Phase)
		case quantity.OnTop:
			fmt.Println(a.Number, "for every 1 of the rest")
		}
	}
	// Output:
	// 1020.5828325 g
	// 7.393382390625 ml and a density to weigh it by: true
	// 3 % of Oil
	// 0.1 for every 1 of the rest
}

func ExampleParseAmount_refused() {
	_, err := quantity.ParseAmount("1,000 g")
	var e *quantity.SyntaxError
	if errors.As(err, &e) {
		fmt.Println("at byte", e.Offset, "for", e.Length)
		fmt.Println(e.Message)
		fmt.Println(e.Hint)
	}
	// Output:
	// at byte 0 for 5
	// “1,000” is ambiguous: it may mean 1000 or 1.000
	// write 1000 or 1.000
}

func ExampleShares() {
	// a balm of one part wax, one part butter and two parts oil
	shares := quantity.NewShares([]quantity.Number{quantity.Int(1), quantity.Int(1), quantity.Int(2)})
	batch, _ := quantity.ParseMass("10 oz")
	step, _ := quantity.ParseMass("0.1 g")

	rule := shares.Rule(batch, step)
	for i := range shares.Len() {
		tenths := rule.Steps(i)
		fmt.Println(shares.At(i), "of the batch is", shares.Of(i, batch), "and is weighed as", tenths.Quo(quantity.Int(10)), "g")
	}
	// Output:
	// 0.25 of the batch is 70.8738078125 g and is weighed as 70.9 g
	// 0.25 of the batch is 70.8738078125 g and is weighed as 70.9 g
	// 0.5 of the batch is 141.747615625 g and is weighed as 141.7 g
}
