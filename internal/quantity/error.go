package quantity

// A SyntaxError says why words are not an amount, where in them, and what to write instead.
// Offset and Length are in bytes of the text that was read.
type SyntaxError struct {
	Offset, Length int
	Message, Hint  string
}

// Error gives the message, with the hint in brackets.
func (e *SyntaxError) Error() string {
	if e.Hint == "" {
		return e.Message
	}
	return e.Message + " (" + e.Hint + ")"
}
