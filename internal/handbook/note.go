package handbook

var noteFields = append([]string{"title"}, commonFields...)

// note reads a note's page.
func (h *Handbook) note(d *draft) *Note {
	if d.front != nil {
		if m, ok := d.mapping(d.front, "a note", noteFields); ok {
			d.common(m, "title")
			d.picture(m, h)
		}
	}
	return &Note{Page: d.page}
}
