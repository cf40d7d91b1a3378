package picture

// A cursor walks through bytes.
type cursor struct{ rest []byte }

// take gives the next n bytes, or none if there are fewer.
func (c *cursor) take(n int) ([]byte, bool) {
	if n < 0 || n > len(c.rest) {
		return nil, false
	}
	taken := c.rest[:n:n]
	c.rest = c.rest[n:]
	return taken, true
}

// next gives the next byte.
func (c *cursor) next() (byte, bool) {
	b, ok := c.take(1)
	if !ok {
		return 0, false
	}
	return b[0], true
}
