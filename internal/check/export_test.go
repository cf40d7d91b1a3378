package check

// Lawful gives what the law checks alone find: substances, colourants and unknown compositions.
func Lawful(s *Subject) []Finding {
	in := inspect(s)
	all := append(append(legal(in), colour(in)...), unknownComposition(in)...)
	Sort(all)
	return all
}

// Allergens gives what the check of allergens alone finds.
func Allergens(s *Subject) []Finding { return allergens(inspect(s)) }
