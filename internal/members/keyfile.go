package members

import (
	"errors"
	"strings"
	"unicode/utf8"

	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/seal"
)

// keyRemark stands above the key in a new file.
const keyRemark = `# The key to the members' pages: whoever has this line can read them all. Keep a copy in a safe place, for without it no member can be
# let in again, and a new copy after each removal. Never publish it, send it to anyone or put it into version control.
`

// readKey reads the key file: one line, beneath lines of remarks that begin with #. It gives the remarks as they stand.
func readKey(raw []byte, problems *problem.List) (door seal.Door, remarks string, ok bool) {
	const restore = "put the file back from a copy; the key cannot be written by hand"
	text, err := decode(raw)
	src := &problem.Source{Name: KeyFile, Text: masked(text)}
	if err != nil {
		problems.Addf(problem.Span{Source: src}, restore, "the file cannot be read as text: %v", err)
		return door, "", false
	}
	found := 0
	for start := 0; start < len(text); {
		line, _, _ := strings.Cut(text[start:], "\n")
		at := problem.Span{Source: src, Start: start, End: start + len(line)}
		start = min(at.End+1, len(text))
		if isRemark(line) {
			remarks += line + "\n"
			continue
		}
		found++
		err := door.UnmarshalText([]byte(line))
		if found > 1 {
			err = errors.New("there is more here than the one line of the key")
		}
		if err != nil {
			problems.Addf(at, restore, "%v", err)
			return seal.Door{}, "", false
		}
	}
	if found == 0 {
		problems.Addf(problem.Span{Source: &problem.Source{Name: KeyFile}}, restore, "the key is missing from its file")
	}
	return door, remarks, found == 1
}

func isRemark(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || strings.HasPrefix(line, "#")
}

// masked hides the lines that may be a key, byte for byte, so that no problem shows one.
func masked(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if !isRemark(line) || !utf8.ValidString(line) {
			lines[i] = strings.Repeat("*", len(line))
		}
	}
	return strings.Join(lines, "\n")
}

// keyText gives the key file as it is to be: the key beneath all remarks.
func keyText(door seal.Door, remarks string) ([]byte, error) {
	key, err := door.MarshalText()
	return append(append([]byte(remarks), key...), '\n'), err
}
