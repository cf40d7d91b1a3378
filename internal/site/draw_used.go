package site

import "html/template"

// drawUsedIn draws where a material is used: an entry a recipe, with the rate in each of its versions.
// Rows of one recipe stand together. It is "" where the material is not used.
func drawUsedIn(rows []UsedView) template.HTML {
	if len(rows) == 0 {
		return ""
	}
	k := make(ink, 0, 64+160*len(rows))
	k.raw(`<ul class="used">`)
	for i := 0; i < len(rows); {
		n := sameRecipe(rows[i:])
		k.raw("\n<li>")
		k.link(rows[i].Recipe.Text, rows[i].Recipe.Href)
		k.raw(` <span class="rates">`)
		for j, r := range rows[i : i+n] {
			if j > 0 {
				k.raw(" ")
			}
			k.rate(r)
		}
		k.raw("</span></li>")
		i += n
	}
	k.raw("\n</ul>")
	return k.html()
}

// sameRecipe counts the rows at the beginning that are of one recipe.
func sameRecipe(rows []UsedView) int {
	n := 1
	for n < len(rows) && rows[n].Recipe == rows[0].Recipe {
		n++
	}
	return n
}

// rate draws a version's rate.
func (k *ink) rate(r UsedView) {
	k.raw(`<span class="rate">`)
	if r.Version != "" {
		k.part("span", "of", r.Version)
		k.raw(" ")
	}
	k.text(r.Percent)
	k.raw("</span>")
}
