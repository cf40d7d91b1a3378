package picture

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// CSS Syntax Module Level 3, 4 (tokens) and 5.4 (rules), from memory. Only so much is told apart as is needed to find every
// address: comments, strings, names with their escapes, and addresses without quotes.

// A css is a style sheet, or the value of a property, being written anew.
type css struct {
	in    string
	at    int
	out   strings.Builder
	depth int // as of the drawing
	err   error
}

// cleanCSS drops comments, imports, and addresses outside the drawing, where an address within it that leads nowhere takes their
// place. Pictures and typefaces that the text itself holds stay, pictures cleaned.
func cleanCSS(text string, depth int) (string, error) {
	c := &css{in: text, depth: depth}
	for c.at < len(c.in) && c.err == nil {
		c.piece()
	}
	return c.out.String(), c.err
}

// piece writes the next token, or what takes its place.
func (c *css) piece() {
	from := c.at
	switch b := c.in[c.at]; {
	case strings.HasPrefix(c.in[c.at:], "/*"):
		c.comment()
		c.out.WriteString("/**/") // parts what it stood between, as the comment did
	case b == '"' || b == '\'':
		c.quoted()
		c.out.WriteString(c.in[from:c.at])
	case b == '@':
		c.at++
		if name := c.name(); slices.Contains([]string{"import", "charset", "namespace"}, name) {
			c.statement()
		} else {
			c.out.WriteString(c.in[from:c.at])
		}
	case strings.HasPrefix(c.in[c.at:], "<!--"): // a token of its own, or its hyphens would begin a name
		c.at += len("<!--")
		c.out.WriteString("<!--")
	case c.inName():
		name := c.name()
		c.named(name, from)
	default:
		c.at++
		c.out.WriteByte(b)
	}
}

// named writes a name that began at a byte, or the function that it names.
func (c *css) named(name string, from int) {
	opens := c.at < len(c.in) && c.in[c.at] == '('
	switch {
	case opens && name == "url":
		c.at++
		c.address()
	case opens && slices.Contains([]string{"image", "image-set", "-webkit-image-set", "cross-fade", "-webkit-cross-fade", "src", "url-prefix"}, name):
		c.block() // these take addresses as strings
		c.out.WriteString("none")
	default:
		c.out.WriteString(c.in[from:c.at])
	}
}

// inName says whether the next byte belongs to a name, or begins an escape that does.
func (c *css) inName() bool {
	if c.at >= len(c.in) {
		return false
	}
	b := c.in[c.at]
	if b == '\\' {
		return c.at+1 == len(c.in) || strings.IndexByte("\n\r\f", c.in[c.at+1]) < 0
	}
	return b == '-' || b == '_' || b >= 0x80 || b >= '0' && b <= '9' || b|0x20 >= 'a' && b|0x20 <= 'z'
}

// name reads a name and gives it in small letters with its escapes undone.
func (c *css) name() string {
	var name strings.Builder
	for c.inName() {
		if c.in[c.at] == '\\' {
			name.WriteString(c.escape())
			continue
		}
		name.WriteByte(c.in[c.at])
		c.at++
	}
	return strings.ToLower(name.String())
}

// escape reads an escape and gives what it stands for.
func (c *css) escape() string {
	c.at++
	end := c.at
	for end < len(c.in) && end < c.at+6 && strings.IndexByte("0123456789abcdefABCDEF", c.in[end]) >= 0 {
		end++
	}
	digits := c.in[c.at:end]
	if digits == "" {
		return c.plainEscape()
	}
	c.at = end
	if c.at < len(c.in) && strings.IndexByte(" \t\n\r\f", c.in[c.at]) >= 0 {
		if strings.HasPrefix(c.in[c.at:], "\r\n") {
			c.at++
		}
		c.at++
	}
	code, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || code == 0 {
		return "\uFFFD"
	}
	return string(rune(code))
}

// plainEscape reads a sign that stands for itself.
func (c *css) plainEscape() string {
	_, size := utf8.DecodeRuneInString(c.in[c.at:])
	plain := c.in[c.at : c.at+size]
	c.at += size
	return plain
}

// comment passes over a comment.
func (c *css) comment() {
	_, after, found := strings.Cut(c.in[c.at+2:], "*/")
	c.at = len(c.in)
	if found {
		c.at -= len(after)
	}
}

// quoted reads a string, to its quote, to the end of the line, or to the end; it gives the text with its escapes undone.
func (c *css) quoted() string {
	var text strings.Builder
	quote := c.in[c.at]
	c.at++
	for c.at < len(c.in) {
		switch b := c.in[c.at]; b {
		case quote:
			c.at++
			return text.String()
		case '\n', '\r', '\f':
			return text.String()
		case '\\':
			if c.at+1 < len(c.in) && strings.IndexByte("\n\r\f", c.in[c.at+1]) >= 0 {
				c.at += 2
				continue
			}
			text.WriteString(c.escape())
		default:
			c.at++
			text.WriteByte(b)
		}
	}
	return text.String()
}

// address writes url(…), whose opening was read, where it stays, or one that leads nowhere.
func (c *css) address() {
	c.space()
	var target string
	if c.at < len(c.in) && (c.in[c.at] == '"' || c.in[c.at] == '\'') {
		target = c.quoted()
		c.space()
		if c.at < len(c.in) && c.in[c.at] == ')' {
			c.at++
		} else {
			target = "" // with more in it than an address, it is none
			c.rest()
		}
	} else {
		target = c.bare()
	}
	if !strings.HasPrefix(target, "#") {
		target = c.data(target)
	}
	c.out.WriteString(`url(` + quote(target) + `)`)
}

// quote writes an address within the drawing, or data, so that it needs few quotes.
func quote(address string) string {
	if strings.Trim(address, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789#_-.:;,/+=") == "" {
		return address
	}
	var out strings.Builder
	for _, sign := range address {
		switch {
		case sign == '\'' || sign == '\\':
			out.WriteByte('\\')
			out.WriteRune(sign)
		case sign < ' ' || sign == 0x7F || sign == 0xFFFE || sign == 0xFFFF: // of which XML forbids most
			out.WriteString(`\` + strconv.FormatInt(int64(sign), 16) + " ")
		default:
			out.WriteRune(sign)
		}
	}
	return "'" + out.String() + "'"
}

// bare reads an address without quotes, to its bracket or the end.
func (c *css) bare() string {
	var text strings.Builder
	for c.at < len(c.in) {
		switch b := c.in[c.at]; b {
		case ')':
			c.at++
			return strings.TrimRight(text.String(), " \t\r\n\f")
		case '\\':
			text.WriteString(c.escape())
		default:
			c.at++
			text.WriteByte(b)
		}
	}
	return strings.TrimRight(text.String(), " \t\r\n\f")
}

// data gives an address that has its data in itself, cleaned, or the one that leads nowhere.
func (c *css) data(target string) string {
	const nowhere = "#"
	kind, _, ok := splitData(strings.Trim(target, controls))
	if !ok {
		return nowhere
	}
	for _, typeface := range []string{"font/", "application/font-", "application/x-font-", "application/vnd.ms-fontobject"} {
		if strings.HasPrefix(kind, typeface) {
			return strings.Trim(target, controls)
		}
	}
	clean, ok, err := cleanData(strings.Trim(target, controls), c.depth)
	c.err = err
	if !ok {
		return nowhere
	}
	return clean
}

func (c *css) space() {
	for c.at < len(c.in) && strings.IndexByte(" \t\n\r\f", c.in[c.at]) >= 0 {
		c.at++
	}
}

// statement passes over an at-rule: to its semicolon or the end of its block.
func (c *css) statement() {
	for c.at < len(c.in) {
		switch c.in[c.at] {
		case ';':
			c.at++
			return
		case '{':
			c.block()
			return
		default:
			c.pass()
		}
	}
}

// block passes over a block or the brackets of a function, with all in it.
func (c *css) block() {
	c.at++
	c.rest()
}

// rest passes over the rest of a block, whose opening was read.
func (c *css) rest() {
	for open := 1; open > 0 && c.at < len(c.in); {
		switch c.in[c.at] {
		case '(', '[', '{':
			open++
			c.at++
		case ')', ']', '}':
			open--
			c.at++
		default:
			c.passToken()
		}
	}
}

// pass passes over a token, and over all within it where it opens a block.
func (c *css) pass() {
	if strings.IndexByte("([{", c.in[c.at]) >= 0 {
		c.block()
		return
	}
	c.passToken()
}

// passToken passes over a token that is no bracket.
func (c *css) passToken() {
	switch b := c.in[c.at]; {
	case strings.HasPrefix(c.in[c.at:], "/*"):
		c.comment()
	case b == '"' || b == '\'':
		c.quoted()
	case c.inName():
		if c.name() == "url" && c.at < len(c.in) && c.in[c.at] == '(' && !c.quotedAddress() {
			c.at++
			c.bare()
		}
	default:
		c.at++
	}
}

// quotedAddress says whether the bracket that comes next, of url(…), has a quote behind it: then it is a bracket like others.
func (c *css) quotedAddress() bool {
	inside := strings.TrimLeft(c.in[c.at+1:], " \t\n\r\f")
	return inside != "" && (inside[0] == '"' || inside[0] == '\'')
}
