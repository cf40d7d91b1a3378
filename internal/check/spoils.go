package check

// spoils finds fresh foods and milks of any kind in a product of which more than 5 % is water. In a soap lye makes soap of them.
// What is not known counts where its name tells of food. Common practice, no source.
func spoils(s *inspection) []Finding {
	if !s.hasWater() || s.isTrueSoap() {
		return nil
	}
	var found []Finding
	named := those(s.wetByName(), func(d *dose) bool { return d.facts.fresh })
	for _, d := range append(s.dosesThat(func(d *dose) bool { return d.facts.fresh || d.Has("milk") }), named...) {
		found = append(found, Finding{
			Code: "spoils", Level: Caution, Subject: d.name, Items: d.items, Value: shareText(d), Unit: "%", Source: "common practice",
			Message: d.name + " is food: at " + shareText(d) + " % of a " + s.what() + " it feeds bacteria, yeast and mould faster than most preservatives can hold them.",
			Mend:    "Make it fresh for one use and keep it cold, or take a dried, preserved or waterless form, and have the preserved product tested.",
		})
	}
	return found
}
