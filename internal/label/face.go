package label

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"

	"larkrow.example/stillroom/internal/quantity"
)

// Labels are set in the theme's sans, without kerning or ligatures, so that a line is as long as its signs together.

//go:embed widths.csv
var widthsCSV string

// width is how far the pen moves for a sign, in thousandths of the type size.
type width struct{ regular, bold int64 }

// strange is the width taken for a sign that the font does not have and another draws: wider than letters of other scripts, which
// are up to one em (common practice, no source).
const strange = 1250

var widths = sync.OnceValue(func() map[rune]width {
	r := csv.NewReader(strings.NewReader(widthsCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("label: " + err.Error())
	}
	all := make(map[rune]width)
	for _, row := range rows[1:] {
		sign, err1 := strconv.ParseInt(strings.TrimPrefix(row[0], "U+"), 16, 32)
		regular, err2 := strconv.ParseInt(row[1], 10, 64)
		bold, err3 := strconv.ParseInt(row[2], 10, 64)
		if err1 != nil || err2 != nil || err3 != nil {
			panic("label: widths.csv: " + strings.Join(row, ","))
		}
		all[rune(sign)] = width{regular, bold}
	}
	return all
})

// Heights of letters in thousandths of the type size, a little below what the font has: its small letters without ascenders are
// 486 high, its capitals 656, its figures from 638 (the 1 and the 7) to 650.
const (
	smallHeight  = 485
	figureHeight = 637
)

// Strange gives the signs of a text that the labels' font does not have, each once.
func Strange(text string) []rune {
	var all []rune
	seen := make(map[rune]bool)
	for _, r := range text {
		if _, known := widths()[r]; !known && !seen[r] {
			seen[r] = true
			all = append(all, r)
		}
	}
	return all
}

// advance gives how long a text is, in thousandths of the type size.
func advance(text string, bold bool) int64 {
	var sum int64
	for _, r := range text {
		w, known := widths()[r]
		switch {
		case !known:
			sum += strange
		case bold:
			sum += w.bold
		default:
			sum += w.regular
		}
	}
	return sum
}

// long gives how long a text is at a type size.
func long(text string, bold bool, size quantity.Length) quantity.Length {
	return size.Times(quantity.Fraction(advance(text, bold), 1000))
}

// sizeFor gives the least type size, in whole thousandths of a millimetre, at which letters of some height in thousandths of it are
// as high as asked.
func sizeFor(least quantity.Length, height int64) quantity.Length {
	exact := least.Times(quantity.Fraction(1000, height))
	micro := exact.Times(quantity.Int(1000)).Millimetres()
	whole, _ := micro.Floor()
	if micro.Cmp(quantity.Int(whole)) > 0 {
		whole++
	}
	return quantity.Millimetres(quantity.Fraction(whole, 1000))
}
