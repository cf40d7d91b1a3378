package binder

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// A Manifest says what a binder was made of when it was last printed, so that the next printing can tell which sheets to replace.
type Manifest struct {
	Schema int     `json:"schema"`
	Look   string  `json:"look"` // hash of style and paper: where it differs, every sheet does
	Tabs   string  `json:"tabs"` // hash of the tabs' names: where it differs, every sheet with a tab does
	Sheets []Sheet `json:"sheets"`
}

// A Sheet is a unit as printed: on which pages, and hashes of its words and of these with the page numbers in them.
type Sheet struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Tab   bool   `json:"tab"` // it has one on its edge
	From  int    `json:"from"`
	To    int    `json:"to"`
	Words string `json:"words"`
	Drawn string `json:"drawn"`
}

// Pages says which pages it has: "12" or "12–14".
func (s Sheet) Pages() string {
	if s.From == s.To {
		return strconv.Itoa(s.From)
	}
	return strconv.Itoa(s.From) + "–" + strconv.Itoa(s.To)
}

// sheets gives the units as printed.
func (b *Binder) sheets(pages Pages, count int) []Sheet {
	all := make([]Sheet, len(b.units))
	for i, u := range b.units {
		to := count
		if i+1 < len(b.units) {
			to = pages[b.units[i+1].ID] - 1
		}
		drawn, _ := pages.fill(u.html) // the printing has seen that nothing is missing
		head := []byte(u.Title + "\x00" + strconv.Itoa(u.Tab) + "\x00")
		all[i] = Sheet{
			ID: u.ID, Title: u.Title, Tab: u.Tab >= 0, From: pages[u.ID], To: to,
			Words: hashed(append(head, u.html...)), Drawn: hashed(drawn),
		}
	}
	return all
}

func hashed(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// Manifest gives what is to be kept beside a printed binder.
func (b *Binder) Manifest(p *Printed) Manifest {
	rules := b.options.Paper.Name + strconv.FormatBool(b.options.OneSided)
	tabs := strings.Join(b.tabs(), "\x00")
	return Manifest{Schema: 1, Look: hashed([]byte(b.look.css + rules)), Tabs: hashed([]byte(tabs)), Sheets: p.Sheets}
}

// Encode writes a manifest.
func (m Manifest) Encode() ([]byte, error) {
	raw, err := json.MarshalIndent(m, "", "  ")
	return append(raw, '\n'), err
}

// ReadManifest reads a manifest.
func ReadManifest(raw []byte) (Manifest, error) {
	var m Manifest
	if err := json.Unmarshal(raw, &m); err != nil {
		return m, fmt.Errorf("it is no list of a binder's sheets: %w", err)
	}
	if m.Schema != 1 {
		return m, fmt.Errorf("it is a list of a binder's sheets in a form that this version does not know (schema %d)", m.Schema)
	}
	return m, nil
}

// A Replacement is a unit that the last binder has not, or not so. Out says which of its pages to take out, "" for none; In which to put in.
type Replacement struct {
	Title, Why, Out, In string
	from, to            int // pages to print, 0 for none
}

// Compare lists what to replace in the binder that a manifest was kept of.
func (m Manifest) Compare(now Manifest) []Replacement {
	before := make(map[string]Sheet, len(m.Sheets))
	for _, s := range m.Sheets {
		before[s.ID] = s
	}
	var all []Replacement
	for _, s := range now.Sheets {
		old, had := before[s.ID]
		delete(before, s.ID)
		r := Replacement{Title: s.Title, In: s.Pages(), from: s.From, to: s.To}
		if had {
			r.Out = old.Pages()
		}
		switch {
		case !had:
			r.Why = "new"
		case m.Look != now.Look:
			r.Why = "another look or paper"
		case m.Tabs != now.Tabs && s.Tab:
			r.Why = "the tabs on the edge moved"
		case old.Words != s.Words:
			r.Why = "changed"
		case old.From != s.From || old.To != s.To:
			r.Why = "same words, other page numbers"
		case old.Drawn != s.Drawn:
			r.Why = "points at other page numbers"
		default:
			continue
		}
		all = append(all, r)
	}
	for _, s := range m.Sheets {
		if _, gone := before[s.ID]; gone {
			all = append(all, Replacement{Title: s.Title, Why: "no longer in the binder", Out: s.Pages()})
		}
	}
	return all
}

// Pick gives a PDF with the sheets to put in, whole ones: both sides of each. It is nil where there is nothing to put in.
func (b *Binder) Pick(p *Printed, all []Replacement) ([]byte, error) {
	var ranges []string
	last := 0
	for _, r := range all {
		from, to := r.from, r.to
		if from == 0 {
			continue
		}
		if !b.options.OneSided {
			from, to = from-(from+1)%2, to+to%2
		}
		from, to = max(from, last+1), min(to, p.Count)
		if from > to {
			continue
		}
		ranges, last = append(ranges, fmt.Sprintf("%d-%d", from, to)), to
	}
	if ranges == nil {
		return nil, nil
	}
	api.DisableConfigDir()
	var out bytes.Buffer
	err := api.Trim(bytes.NewReader(p.PDF), &out, ranges, model.NewDefaultConfiguration())
	if err != nil {
		return nil, fmt.Errorf("pick the sheets to replace: %w", err)
	}
	return out.Bytes(), nil
}
