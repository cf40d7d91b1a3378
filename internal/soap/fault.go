package soap

import (
	"fmt"
	"strings"
)

// A Fault says why a soap cannot be worked out, and what to do.
type Fault struct {
	Subject       string // the name of a fat or alkali, or superfat, water, alkali, fats
	Message, Hint string
}

// Faults are all that stand against working a soap out, at least one.
type Faults []Fault

// Error gives the messages, each with its hint in brackets.
func (f Faults) Error() string {
	all := make([]string, len(f))
	for i, one := range f {
		all[i] = one.Message + " (" + one.Hint + ")"
	}
	return strings.Join(all, "; ")
}

func (f *Faults) addf(subject, hint, format string, args ...any) {
	*f = append(*f, Fault{Subject: subject, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// err gives the faults as an error, nil where there are none.
func (f Faults) err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}
