package check

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// fillUnknown finds batches by containers, and fills, of which nothing says what a container takes: once per reason, with
// the batches named.
func fillUnknown(s *inspection) []Finding {
	var found []Finding
	batches := make(map[string][]string) // by reason, in the order of the batches
	for _, b := range s.Batches {
		if b.Missing != nil && b.Missing.FillUnknown {
			batches[b.Missing.Message] = append(batches[b.Missing.Message], b.Written)
		}
	}
	for _, f := range s.Fills {
		if f.Unknown != "" && batches[f.Unknown] == nil {
			found = append(found, unfilled(
				f.Container, "How many containers a batch fills cannot be worked out: "+f.Unknown+".",
				"Give takes: as a weight, or add the product's density: to the fill.",
			))
		}
	}
	for _, b := range s.Batches {
		if b.Missing == nil || batches[b.Missing.Message] == nil {
			continue
		}
		names := strings.Join(batches[b.Missing.Message], " and ")
		delete(batches, b.Missing.Message)
		found = append(found, unfilled(names, "The batch of "+names+" cannot be worked out: "+b.Missing.Message+".", sentence(b.Missing.Hint)))
		found[len(found)-1].At = b.At
	}
	return found
}

// sentence makes a hint a sentence of its own.
func sentence(hint string) string {
	first, size := utf8.DecodeRuneInString(hint)
	hint = string(unicode.ToUpper(first)) + hint[size:]
	if strings.HasSuffix(hint, "?") {
		return hint
	}
	return hint + "."
}

func unfilled(subject, message, mend string) Finding {
	return Finding{Code: "fill-unknown", Level: Caution, Subject: subject, Message: message, Mend: mend}
}
