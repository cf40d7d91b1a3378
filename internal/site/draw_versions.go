package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// drawVersion draws what stands over a version's tables. For a theme: an h3 (of class base for the base, and with a span of class sort for others), paragraphs of the
// classes remark, differs and halt, and a list of class changes. The tables are long and would be copied, so they are not in it.
func drawVersion(v *VersionView, l *words.Language) template.HTML {
	k := newInk()
	k.raw(`<h3 id="head--`)
	k.value(v.ID)
	k.raw(`"`)
	if v.Kind == "base" {
		k.raw(` class="base"`)
	}
	k.raw(">")
	k.value(v.Name)
	switch v.Kind {
	case "variant":
		k.sort(l, "recipe.variant")
	case "split":
		k.sort(l, "recipe.split")
	}
	k.raw("</h3>")
	if v.Note != "" {
		k.raw("\n<p class=\"remark\">")
		k.value(v.Note)
		k.raw("</p>")
	}
	k.changes(v.Changes, l)
	k.halts(v.Findings, l)
	return k.html()
}

// sort writes what sort of version it is.
func (k *ink) sort(l *words.Language, key string) {
	k.raw(` <span class="sort">`)
	k.told(l, key)
	k.raw("</span>")
}

// changes draws what differs from the base.
func (k *ink) changes(all []string, l *words.Language) {
	if len(all) == 0 {
		return
	}
	k.raw("\n<p class=\"differs\">")
	k.told(l, "recipe.differs")
	k.raw("</p>\n<ul class=\"changes\">")
	for _, c := range all {
		k.raw("\n<li>")
		k.value(kept(c))
		k.raw("</li>")
	}
	k.raw("\n</ul>")
}

// drawChecked draws what the checks say of each version. For a theme: a div of class version and of the version's id each, in it an h3 where there are several, a list
// of class findings or a paragraph of class none, and a details of class declares with what is to be declared.
func drawChecked(versions []VersionView, l *words.Language) template.HTML {
	k := newInk()
	for i := range versions {
		v := &versions[i]
		k.openVersion(v, len(versions) > 1)
		switch {
		case len(v.Findings) > 0:
			k.raw("\n<ul class=\"findings\">")
			k.findings(v.Findings, l, isTold)
			k.raw("\n</ul>")
		case v.Checked:
			k.raw("\n<p class=\"none\">")
			k.told(l, "check.none")
			k.raw("</p>")
		}
		if n := v.Declares(); n > 0 {
			k.raw("\n<details class=\"declares\">\n<summary>")
			k.told(l, "check.declares", "number", n)
			k.raw("</summary>\n<ul class=\"findings\">")
			k.findings(v.Findings, l, isDeclared)
			k.raw("\n</ul>\n</details>")
		}
		k.raw("\n</div>")
	}
	return k.html()
}

// drawLabelled draws each version's label copy, as drawChecked does what the checks say.
func drawLabelled(versions []VersionView, l *words.Language) template.HTML {
	k := newInk()
	for i := range versions {
		v := &versions[i]
		k.openVersion(v, len(versions) > 1)
		k.labels(v.Labels, l)
		if len(v.Labels) == 0 {
			k.raw("\n<p class=\"remark\">")
			k.told(l, "label.untold")
			k.raw("</p>")
		}
		k.raw("\n</div>")
	}
	return k.html()
}

// openVersion opens what is said of a version, with its name where there are others.
func (k *ink) openVersion(v *VersionView, named bool) {
	k.raw("\n<div class=\"version ")
	k.value(v.ID)
	k.raw(`">`)
	if named {
		k.raw("\n<h3>")
		k.value(v.Name)
		k.raw("</h3>")
	}
}
