package site

import (
	"fmt"
	"html/template"
	"maps"
	"reflect"
	"slices"
	"strings"
	"text/template/parse"

	"larkrow.example/stillroom/internal/spell"
)

// idlePieces tells of a maker's own pieces that no template asks for: one by a mistyped name would change nothing, and nobody would know why.
func idlePieces(set *template.Template, mine map[string][]byte) []error {
	asked := make(map[string]bool)
	for _, t := range set.Templates() {
		if t.Tree != nil {
			askedIn(reflect.ValueOf(t.Tree.Root), asked)
		}
	}
	var errs []error
	for _, name := range slices.Sorted(maps.Keys(mine)) {
		if strings.HasPrefix(name, "pieces/") && strings.HasSuffix(name, ".html") && !asked[name] {
			hint := spell.DidYouMean(name, slices.Sorted(maps.Keys(asked)), "call it from a page of yours, or take it out")
			errs = append(errs, fmt.Errorf("theme: %s: no page has this piece; %s", name, hint))
		}
	}
	return errs
}

// askedIn notes the pieces that a part of a template asks for, by {{template}} or by name as {{standing}} does.
func askedIn(v reflect.Value, asked map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*parse.Tree]() {
			askedIn(v.Elem(), asked)
		}
	case reflect.Slice:
		for i := range v.Len() {
			askedIn(v.Index(i), asked)
		}
	case reflect.Struct:
		switch v.Type() {
		case reflect.TypeFor[parse.TemplateNode]():
			asked[v.FieldByName("Name").String()] = true
		case reflect.TypeFor[parse.StringNode]():
			asked[v.FieldByName("Text").String()] = true
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				askedIn(v.Field(i), asked)
			}
		}
	}
}
