package words

import (
	"bytes"
	"cmp"
	"encoding/json"
	"strings"
)

// ScriptKeys is what the keys begin with that scripts in the page say.
const ScriptKeys = "script."

// What the keys begin with of names that stand in lists which scripts read: food-allergen sources, and how products are used.
const foodKeys, categoryKeys = "food.", "category."

// Script gives the texts under [ScriptKeys] as a script that other scripts read: const words, with the texts by the rest of their keys (one text,
// or its forms by number), those names by their keys, and how the language writes dates and decimals.
func (l *Language) Script() []byte {
	texts := make(map[string]any)
	for _, key := range l.Keys() {
		if rest, ok := strings.CutPrefix(key, ScriptKeys); ok || strings.HasPrefix(key, foodKeys) || strings.HasPrefix(key, categoryKeys) {
			texts[rest] = l.texts[key].forScript()
		}
	}
	var b bytes.Buffer
	b.WriteString("// What scripts say on the page, made from words/" + l.Code() + ".yaml.\n'use strict';\nconst words = ")
	encoder := json.NewEncoder(&b)
	encoder.SetIndent("", "  ")
	_ = encoder.Encode(map[string]any{"language": l.Code(), "locale": cmp.Or(l.sign("locale"), l.Code()), "decimal": cmp.Or(l.point, "."), "texts": texts}) // texts always encode
	return b.Bytes()
}

// forScript gives a text as a script has it: places in braces.
func (t *text) forScript() any {
	whole := make(map[string]string)
	for name, form := range forms() {
		if pieces := t.forms[form]; pieces != nil {
			whole[name] = join(pieces)
		}
	}
	if len(whole) == 1 {
		return whole["other"]
	}
	return whole
}

func join(pieces []piece) string {
	var b strings.Builder
	for _, p := range pieces {
		if p.place != "" {
			b.WriteString("{" + p.place + "}")
		}
		b.WriteString(p.words)
	}
	return b.String()
}
