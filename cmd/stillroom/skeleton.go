package main

import (
	"bytes"
	"cmp"
	"embed"
	"slices"
	"strings"
	"text/template"
	"unicode"

	"larkrow.example/stillroom/internal/law"
)

// skeletonFiles has a new page of each kind, and of recipes one of each shape. A new recipe is whole: it can be weighed at once and changed line
// by line.
//
//go:embed skeleton/*.md
var skeletonFiles embed.FS

// skeleton writes a new page of a shape.
func skeleton(shape string, page map[string]string) ([]byte, error) {
	all, err := template.ParseFS(skeletonFiles, "skeleton/"+shape+".md")
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	err = all.Execute(&text, page)
	return text.Bytes(), err
}

// shapes gives the shape of a product's recipe by a word of the product's name. The first that fits holds, so a bar, which has no water, comes
// before the lotion.
var shapes = []struct{ word, shape string }{
	{"bar soap", "soap"},
	{"shaving soap", "soap"},
	{"lotion bar", "balm"},
	{"lip balm", "lips"},
	{"solid perfume", "balm"},
	{"bath melt", "butter"},
	{"balm", "balm"},
	{"body butter", "butter"},
	{"scrub", "scrub"},
	{"bath salts", "salts"},
	{"foot soak", "salts"},
	{"bath fizz", "fizz"},
	{"shampoo bar", ""}, // no shape of its own, nor a shampoo's
	{"shampoo", "wash"},
	{"wash", "wash"},
	{"bubble bath", "wash"},
	{"lotion", "emulsion"},
	{"cream", "emulsion"},
	{"conditioner", "emulsion"},
	{"hair mask", "emulsion"},
	{"oil", "oil"},
}

// shapeOf gives the shape of a product's recipe: a balm's where there is none for the product.
func shapeOf(product string) string {
	for _, s := range shapes {
		if hasWords(product, s.word) {
			return cmp.Or(s.shape, "balm")
		}
	}
	return "balm"
}

// fits says whether there is a shape for a product.
func fits(product string) bool {
	i := slices.IndexFunc(shapes, func(s struct{ word, shape string }) bool { return hasWords(product, s.word) })
	return i >= 0 && shapes[i].shape != ""
}

// usual gives the product that is meant by the last word of several products' names.
var usual = []struct{ word, product string }{
	{"lotion", "body lotion"},
	{"cream", "hand cream"},
	{"soap", "bar soap"},
	{"scrub", "body scrub"},
	{"butter", "body butter"},
	{"balm", "balm"},
	{"salts", "bath salts"},
}

// productOf gives the product type that a title tells of, and how it was found: the longest name in it, else the last word that several names have.
func productOf(title string) (product, how string) {
	for _, name := range law.ProductNames() {
		if name != "balm" && hasWords(title, name) && len(name) > len(product) {
			product = name
		}
	}
	if product != "" {
		return product, "from the title"
	}
	for _, word := range slices.Backward(strings.Fields(plain(title))) {
		for _, u := range usual {
			if word == u.word {
				return u.product, "from the title"
			}
		}
	}
	return "balm", "since the title names none"
}

// hasWords says whether some words stand in a text one after another, as whole words.
func hasWords(text, words string) bool {
	return strings.Contains(" "+plain(text)+" ", " "+plain(words)+" ")
}

// plain gives the words of a text in small letters, with single spaces between and nothing else.
func plain(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r != '-' && !unicode.IsLetter(r) }), " ")
}
