package check

// Lawful gives what the law checks alone find: substances, colourants and unknown compositions.
func Lawful(s *Subject) []Finding {
	all := append(append(legal(s), colour(s)...), unknownComposition(s)...)
	Sort(all)
	return all
}

// Allergens gives what the check of allergens alone finds.
func Allergens(s *Subject) []Finding { return allergens(s) }
