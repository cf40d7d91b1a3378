package material

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// A record is one entry of a catalogue file: lines "field: value", with " | source" after a value that has one.
// Records are parted by empty lines; a line that begins with # is left out. Parts of a value are parted by semicolons.
type record struct {
	file  string
	lines []line
}

// A line is one field of a record.
type line struct {
	number       int
	field, value string
	source       string // id, "" for common practice
}

// records cuts a file into its records.
func records(file, text string) (all []record, err error) {
	now := record{file: file}
	flush := func() {
		if len(now.lines) > 0 {
			all, now = append(all, now), record{file: file}
		}
	}
	number := 0
	for text := range strings.Lines(text) {
		number++
		switch text = strings.TrimSpace(text); {
		case text == "":
			flush()
		case text[0] == '#':
		default:
			field, value, found := strings.Cut(text, ": ")
			if !found {
				err = errors.Join(err, fmt.Errorf("%s:%d: no field", file, number))
				continue
			}
			l := line{number: number, field: field}
			l.value, l.source, _ = strings.Cut(value, " | ")
			now.lines = append(now.lines, l)
		}
	}
	flush()
	return all, err
}

// parts gives the parts of a value.
func (l line) parts() []string { return strings.Split(l.value, "; ") }

// read reads a catalogue from a folder: sources.txt, cautions.txt, and files of materials.
func read(folder fs.FS) (*Catalogue, error) {
	c := &Catalogue{byID: make(map[string]*Material), sources: map[string]Source{"": {Status: Practice}}, cautions: make(map[string]string)}
	names, err := fs.Glob(folder, "*.txt")
	if err != nil {
		return nil, err
	}
	byFile := make(map[string][]record)
	var wrong []error
	for _, name := range names {
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, err
		}
		all, err := records(name, string(text))
		wrong = append(wrong, err)
		byFile[path.Base(name)] = all
	}
	wrong = append(wrong, c.readSources(byFile["sources.txt"]), c.readCautions(byFile["cautions.txt"]))
	delete(byFile, "sources.txt")
	delete(byFile, "cautions.txt")
	for _, name := range names {
		for _, r := range byFile[name] {
			wrong = append(wrong, c.readMaterial(r))
		}
	}
	c.finish()
	return c, errors.Join(wrong...)
}

func (c *Catalogue) readSources(all []record) (err error) {
	for _, r := range all {
		var s Source
		for _, l := range r.lines {
			switch l.field {
			case "id":
				s.ID = l.value
			case "text":
				s.Text = l.value
			case "status":
				s.Status = Status(l.value)
			case "address":
				s.Addresses = append(s.Addresses, l.value)
			default:
				err = errors.Join(err, fmt.Errorf("%s:%d: no field %q of a source", r.file, l.number, l.field))
			}
		}
		if _, taken := c.sources[s.ID]; taken || !slices.Contains([]Status{Read, Memory, Computed, Practice}, s.Status) {
			err = errors.Join(err, fmt.Errorf("%s:%d: source %q twice, or with status %q", r.file, r.lines[0].number, s.ID, s.Status))
		}
		c.sources[s.ID] = s
	}
	return err
}

func (c *Catalogue) readCautions(all []record) (err error) {
	for _, r := range all {
		for _, l := range r.lines {
			if _, taken := c.cautions[l.field]; taken || l.source != "" {
				err = errors.Join(err, fmt.Errorf("%s:%d: caution %q twice, or with a source", r.file, l.number, l.field))
			}
			c.cautions[l.field] = l.value
		}
	}
	return err
}
