package site

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/words"
)

// pageKinds lists the kinds of page, each of which a theme has a template for.
func pageKinds() []string {
	return []string{"home", "shelf", "recipe", "ingredient", "ingredients", "note", "notes", "find", "teaser", "batch", "batches", "stock", "missing"}
}

// kindsWith lists the kinds of page that a maker's own files have a part in: those whose page is his, and every kind if a
// shared piece or the words are.
func kindsWith(mine map[string][]byte) []string {
	kinds := pageKinds()
	for name := range mine {
		if folder, _, _ := strings.Cut(name, "/"); folder == "pieces" || folder == words.Folder {
			return kinds
		}
	}
	return slices.DeleteFunc(kinds, func(kind string) bool {
		_, his := mine[pagePath(kind)]
		return !his
	})
}

// emptyView gives a pointer to a new view of a page kind, with nothing in it.
func emptyView(kind string) any {
	switch kind {
	case "home":
		return &HomeView{}
	case "shelf":
		return &ShelfView{}
	case "recipe":
		return &RecipeView{}
	case "ingredient":
		return &IngredientView{}
	case "ingredients", "notes":
		return &ListView{}
	case "note":
		return &NoteView{}
	case "find":
		return &FindView{}
	case "teaser":
		return &TeaserView{}
	case "batch":
		return &RecordView{}
	case "batches":
		return &RecordsView{}
	case "stock":
		return &StockView{}
	}
	return &MissingView{}
}

// sampleView gives a view of a page kind with every field filled, to try a theme's templates on: a template's mistake
// shows only where it is run, so every part of it should be.
func sampleView(kind string, assets map[string]string) any {
	view := emptyView(kind)
	fill(reflect.ValueOf(view).Elem(), 0)
	frame := reflect.ValueOf(view).Elem().FieldByName("Frame").Addr().Interface().(*Frame)
	frame.Assets, frame.Kind = assets, kind
	return view
}

// fill puts something into every field of a value; nth tells the elements of a list apart. The last element of every
// list of structs is left empty, so that what may be absent is absent once.
func fill(v reflect.Value, nth int) {
	if !v.CanSet() || v.Type() == reflect.TypeFor[*words.Language]() || ofHandbook(v.Type()) {
		return // no template reads it, or nil is English
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("sample ", nth+1))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(int64(nth + 1))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), nth)
	case reflect.Slice:
		fillList(v)
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), nth)
		}
		fillKnown(v, nth)
	}
}

// fillList gives a list four elements, the last of them empty if they are structs.
func fillList(v reflect.Value) {
	v.Set(reflect.MakeSlice(v.Type(), 4, 4))
	for i := range 4 {
		if i < 3 || v.Type().Elem().Kind() != reflect.Struct {
			fill(v.Index(i), i)
		}
	}
}

// fillKnown gives the fields that hold one of a few known words such a word.
func fillKnown(v reflect.Value, nth int) {
	word := func(field string, words ...string) {
		if f := v.FieldByName(field); f.IsValid() && f.Kind() == reflect.String {
			f.SetString(words[nth%len(words)])
		}
	}
	word("Level", "stop", "caution", "note")
	word("Kind", "base", "variant", "split")
	word("Access", "members", "maker")
	word("Edition", "maker")
	word("What", "recipe", "ingredient", "note")
	word("Accepted", "", "with a reason")
	word("Mark", "stop", "caution", "note")
	word("Href", "./")
}
