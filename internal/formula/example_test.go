package formula_test

import (
	"fmt"

	"larkrow.example/stillroom/internal/formula"
	"larkrow.example/stillroom/internal/quantity"
)

// salve is a formula as a recipe's page would give it.
func salve() formula.Formula {
	amount := func(text string) quantity.Amount {
		a, err := quantity.ParseAmount(text)
		if err != nil {
			panic(err)
		}
		return a
	}
	return formula.Formula{Phases: []formula.Phase{
		{Name: "Oil", Lines: []formula.Line{
			{Ingredient: formula.Ingredient{Name: "Marigold oil"}, Amount: amount("q.s.")},
			{Ingredient: formula.Ingredient{Name: "Shea butter"}, Amount: amount("15 %")},
			{Ingredient: formula.Ingredient{Name: "Vitamin E", Fixed: true}, Amount: amount("0.5 %")},
		}},
		{Name: "Wax", Lines: []formula.Line{
			{Ingredient: formula.Ingredient{Name: "Beeswax"}, Amount: amount("1 per 4 of Oil")},
		}},
	}}
}

func ExampleSolve() {
	v, problems := formula.Solve(salve())
	if err := problems.Err(); err != nil {
		fmt.Println(err)
		return
	}
	for i, item := range v.Items {
		fmt.Printf("%s %-12s %-14s %s %%\n", formula.Letter(item.Phase), item.Name, item.Amount.Written, v.Percent(i))
	}
	// Output:
	// A Marigold oil q.s.           64.5 %
	// A Shea butter  15 %           15 %
	// A Vitamin E    0.5 %          0.5 %
	// B Beeswax      1 per 4 of Oil 20 %
}

func ExampleVersion_Weigh() {
	v, _ := formula.Solve(salve())
	batch, err := quantity.ParseBatch("12 oz")
	if err != nil {
		fmt.Println(err)
		return
	}
	sized, err := v.Size(batch, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	column := v.Weigh(sized, quantity.Scale{}) // reads 0.1 g
	for i, w := range column.Weights {
		fmt.Printf("%-12s %6s g  %5s oz\n", v.Items[i].Name, w.Text(), w.Mass.ReadOunces())
	}
	fmt.Println("of", column.Nominal, "in all", column.Total)
	// Output:
	// Marigold oil  219.5 g   7.74 oz
	// Shea butter    51.0 g    1.8 oz
	// Vitamin E       1.7 g   0.06 oz
	// Beeswax        68.0 g    2.4 oz
	// of 340.1942775 g in all 340.2 g
}
