package site

import (
	"html/template"

	"larkrow.example/stillroom/internal/words"
)

// drawChoose draws what a reader chooses a version and a batch with, and nothing where there is no choice. For a theme: a form of class choose, in it a
// fieldset each with a span of class pick around every field and its label; the ids are those of the versions and batches.
func drawChoose(versions []VersionView, batches []BatchView, l *words.Language) template.HTML {
	if len(versions) < 2 && len(batches) < 2 {
		return ""
	}
	k := newInk()
	k.raw("\n<form class=\"choose\" method=\"dialog\">")
	if len(versions) > 1 {
		k.openPicks("recipe.version", l)
		for i := range versions {
			k.pick("version", versions[i].ID, versions[i].Name, i == 0)
		}
		k.raw("\n</fieldset>")
	}
	if len(batches) > 1 {
		k.openPicks("recipe.batch", l)
		for i := range batches {
			k.pick("batch", batches[i].ID, batches[i].Size, i == 0)
		}
		k.raw("\n</fieldset>")
	}
	k.raw("\n</form>\n")
	return k.html()
}

func (k *ink) openPicks(legend string, l *words.Language) {
	k.raw("\n<fieldset>\n<legend>")
	k.told(l, legend)
	k.raw("</legend>")
}

func (k *ink) pick(of, id, name string, chosen bool) {
	k.raw("\n<span class=\"pick\"><input type=\"radio\" name=\"")
	k.raw(of)
	k.raw(`" id="`)
	k.value(id)
	k.raw(`" value="`)
	k.value(id)
	k.raw(`"`)
	if chosen {
		k.raw(" checked")
	}
	k.raw(`><label for="`)
	k.value(id)
	k.raw(`">`)
	k.value(name)
	k.raw("</label></span>")
}
