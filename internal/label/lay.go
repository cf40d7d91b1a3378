package label

import (
	"fmt"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/law"
	"larkrow.example/stillroom/internal/quantity"
)

// A Block is a part of a label as it is set.
type Block struct {
	Part
	Lines   []string
	Size    quantity.Length // of the type
	Leading quantity.Length // from one line to the next
	Before  quantity.Length // free space above it
	Bold    bool
	Least   TypeSize // what its lettering is held to
}

// height gives what a block takes up, with the space above it.
func (b *Block) height() quantity.Length {
	return b.Before.Add(b.Leading.Times(quantity.Int(int64(len(b.Lines)))))
}

// A Laid is a label as it is set: blocks from the top, and the contents at the foot.
type Laid struct {
	Sheet    *Sheet
	Blocks   []Block
	Foot     *Block          // the contents, nil where there are none
	Below    quantity.Length // free space between the foot and the label's edge
	Capitals bool            // whether ingredients and warnings are set in capitals, which the US measures by their own height
	Takes    quantity.Length // the height of all of it
	Has      quantity.Length // the height that there is
}

// A Misfit is that a text has no room on a label.
type Misfit struct {
	Market string
	Laid   *Laid  // at the least type
	Wide   string // what is wider than the label, "" for nothing
	High   bool   // whether the contents reach above the part of the panel where the US wants them
}

// Error says how much is missing.
func (m *Misfit) Error() string {
	label := m.Laid.Sheet.Label.String()
	switch {
	case m.Wide != "":
		return fmt.Sprintf("“%s” is wider than a label of %s, at the least type that may be used", m.Wide, label)
	case m.High:
		return fmt.Sprintf("the net contents reach above the lowest 30 %% of a label of %s (%s)", label, rule("us-net-quantity-position").Citation)
	}
	return fmt.Sprintf("the text does not fit a label of %s: at the least type that may be used it is %s mm high, and there are %s mm", label, m.Laid.Takes.Millimetres().Text(1), m.Laid.Has.Millimetres().Text(1))
}

// ToDo says what can be done about it.
func (m *Misfit) ToDo() string {
	label := m.Laid.Sheet.Label
	larger := "take a wider label"
	if m.Wide == "" && !m.High {
		need := label.Height.Add(m.Laid.Takes).Sub(m.Laid.Has)
		larger = fmt.Sprintf("take a larger label (of this width, one %s mm high)", up(need).Text(0))
	}
	if m.High {
		larger = "take a higher label"
	}
	l := leaflet(m.Market)
	return fmt.Sprintf("%s or a fold-out one; or put ingredients and warnings where the law allows it (%s: %s)", larger, l.Citation, strings.TrimSuffix(l.Words, "."))
}

// up rounds a length up to whole millimetres.
func up(l quantity.Length) quantity.Number {
	below, _ := l.Millimetres().Neg().Floor()
	return quantity.Int(-below)
}

// ample is the type size that needs no more: about 8.5 points; finer is the step by which smaller ones are tried.
var (
	ample = quantity.Millimetres(quantity.Int(3))
	finer = quantity.Millimetres(quantity.Fraction(1, 20))
)

// Lay sets a wording on a sheet's label in the largest type that fits, up to about 8.5 points, and never below what the law sets for
// each part. The error is a [*Misfit] that has the label at the least type.
func Lay(s *Sheet, w *Wording) (*Laid, error) {
	least := sizeFor(legible(s.Label).Length(), smallHeight)
	var misfit *Misfit
	for _, capitals := range []bool{false, true} {
		if capitals && w.Market != US {
			continue
		}
		for size := ample; ; size = size.Sub(finer) {
			last := size.Cmp(least) <= 0
			if last {
				size = least
			}
			laid := w.set(s, size, capitals)
			m := laid.misfit(w)
			if m == nil {
				return laid, nil
			}
			if misfit == nil || laid.Takes.Cmp(misfit.Laid.Takes) < 0 {
				misfit = m
			}
			if last {
				break
			}
		}
	}
	return nil, misfit
}

// set sets all parts, the running text at a size or at what the law asks of it at least.
func (w *Wording) set(s *Sheet, size quantity.Length, capitals bool) *Laid {
	laid := &Laid{Sheet: s, Has: s.room().Height, Capitals: capitals}
	gap := size.Times(quantity.Fraction(35, 100))
	for i, p := range w.Parts {
		b := w.block(s, p, size, capitals)
		if i > 0 {
			b.Before = gap
		}
		if p.Kind == ContentsPart {
			laid.foot(w.Market, b, gap)
			continue
		}
		laid.Blocks = append(laid.Blocks, b)
		laid.Takes = laid.Takes.Add(b.height())
	}
	return laid
}

// foot puts the contents at the foot. The US wants free space above and below them, as high as the lettering (21 CFR 701.13, from memory).
func (l *Laid) foot(market string, b Block, gap quantity.Length) {
	b.Before = gap
	if market == US {
		clear, _ := law.LabelRule("us-net-quantity-clear-space-above-below")
		lettering := b.Size.Times(quantity.Fraction(figureHeight, 1000)).Times(*clear.Value)
		b.Before = lettering
		if below := lettering.Sub(l.Sheet.Edge); below.Sign() > 0 {
			l.Below = below
		}
	}
	l.Foot = &b
	l.Takes = l.Takes.Add(b.height()).Add(l.Below)
}

// block sets one part.
func (w *Wording) block(s *Sheet, p Part, size quantity.Length, capitals bool) Block {
	b := Block{Part: p, Bold: slices.Contains([]string{TitlePart, IdentityPart, ContentsPart, OpenedPart}, p.Kind)}
	least, figures := w.Least(s, p.Kind)
	height := int64(smallHeight)
	if figures {
		height = figureHeight
	}
	if capitals && (p.Kind == IngredientsPart || p.Kind == WarningPart) {
		b.Text, height = strings.ToUpper(p.Text), figureHeight
	}
	switch p.Kind {
	case TitlePart:
		size = size.Times(quantity.Fraction(16, 10))
	case OpenedPart:
		size = size.Times(quantity.Int(2))
	}
	b.Least, b.Size = least, size
	if floor := sizeFor(least.Length(), height); size.Cmp(floor) < 0 {
		b.Size = floor
	}
	b.Leading = b.Size.Times(quantity.Fraction(12, 10))
	b.Lines = broken(b.Text, b.Bold, b.Size, s.room().Width)
	return b
}

// misfit says why a label cannot be printed as it is set, nil where it can.
func (l *Laid) misfit(w *Wording) *Misfit {
	m := &Misfit{Market: w.Market, Laid: l}
	room := l.Sheet.room()
	for _, b := range l.all() {
		for _, line := range b.Lines {
			if long(line, b.Bold, b.Size).Cmp(room.Width) > 0 {
				m.Wide = line
				return m
			}
		}
	}
	switch {
	case l.Takes.Cmp(l.Has) > 0:
		return m
	case w.Market == US && l.Foot != nil && l.aboveFoot():
		m.High = true
		return m
	}
	return nil
}

// all gives all blocks from top to bottom.
func (l *Laid) all() []Block {
	if l.Foot == nil {
		return l.Blocks
	}
	return append(slices.Clone(l.Blocks), *l.Foot)
}

// aboveFoot says whether the contents reach above the lowest part of the panel, where they have to be unless that is small
// (21 CFR 701.13, from memory).
func (l *Laid) aboveFoot() bool {
	exempt, _ := law.LabelRule("us-net-quantity-position-exempt")
	position, _ := law.LabelRule("us-net-quantity-position")
	if area, _ := l.Sheet.PanelArea(); area.Cmp(*exempt.Value) <= 0 {
		return false
	}
	reach := l.Foot.height().Sub(l.Foot.Before).Add(l.Below).Add(l.Sheet.Edge)
	return reach.Cmp(l.Sheet.Label.Height.Times(position.Value.Quo(hundred))) > 0
}

// broken breaks a text into lines no longer than a width, after spaces and slashes; a piece that is longer has its own line.
func broken(text string, bold bool, size, width quantity.Length) []string {
	var lines []string
	line := ""
	for _, piece := range pieces(text) {
		if line != "" && long(strings.TrimRight(line+piece, " "), bold, size).Cmp(width) > 0 {
			lines = append(lines, strings.TrimRight(line, " "))
			line = ""
		}
		line += piece
	}
	return append(lines, strings.TrimRight(line, " "))
}

// pieces parts a text where a line may end; each has what stands at its end.
func pieces(text string) []string {
	var all []string
	start := 0
	for i, r := range text {
		if r == ' ' || r == '/' {
			all = append(all, text[start:i+1])
			start = i + 1
		}
	}
	if start < len(text) {
		all = append(all, text[start:])
	}
	return all
}

// SeeTo says what of a label as it is set the maker has to see to; whole sentences.
func (l *Laid) SeeTo() []string {
	var text strings.Builder
	for _, b := range l.all() {
		text.WriteString(b.Text)
	}
	if odd := Strange(text.String()); len(odd) > 0 {
		return []string{"The labels' font does not have “" + string(odd) + "”: another font draws it, and its width is taken to be more than it can be. Look at the page."}
	}
	return nil
}
