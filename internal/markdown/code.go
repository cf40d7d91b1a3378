package markdown

import (
	"html"
	"html/template"
	"strings"
	"sync"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"
)

const (
	maxHighlighted = 32 << 10 // bytes of a code block that is highlighted; a longer one is shown plain
	maxRemembered  = 1 << 20  // bytes of code and HTML in one generation of the store
	maxLanguage    = 32       // bytes of a language's name
)

// A highlighter marks up code and remembers what it made. Laws of the store: an entry depends on its key alone, never
// changes, and the store holds at most two generations, of which the older goes when the younger is full.
type highlighter struct {
	mu             sync.Mutex
	younger, older map[block]template.HTML
	size           int // of the younger, in bytes
}

// A block is a piece of code with its language as named in the fence.
type block struct{ language, code string }

func newHighlighter() *highlighter { return &highlighter{younger: map[block]template.HTML{}} }

// Highlight gives code as an HTML block with a class on each token; the theme's style sheet has the colours.
// Code in a language that is not known is shown plain.
func (c *Converter) Highlight(language, code string) template.HTML {
	return template.HTML(showable(string(c.code.highlight(language, code))))
}

func (h *highlighter) highlight(language, code string) template.HTML {
	key := block{language, code}
	if made, ok := h.recall(key); ok {
		return made
	}
	made := mark(language, code)
	h.mu.Lock()
	defer h.mu.Unlock()
	h.keep(key, made)
	return made
}

func (h *highlighter) recall(key block) (template.HTML, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	made, ok := h.younger[key]
	if !ok {
		if made, ok = h.older[key]; ok {
			h.keep(key, made)
		}
	}
	return made, ok
}

// keep puts an entry in the younger generation, beginning a new one when it is full. The caller holds the lock.
func (h *highlighter) keep(key block, made template.HTML) {
	size := len(key.language) + len(key.code) + len(made)
	if size > maxRemembered {
		return
	}
	if h.size+size > maxRemembered {
		h.older, h.younger, h.size = h.younger, map[block]template.HTML{}, 0
	}
	h.younger[key] = made
	h.size += size
}

// mark makes the HTML of a code block.
func mark(language, code string) template.HTML {
	var b strings.Builder
	b.WriteString(`<pre class="code"><code>`)
	if tokens := tokenise(language, code); tokens != nil {
		for t := tokens(); t != chroma.EOF; t = tokens() {
			writeToken(&b, t)
		}
	} else {
		b.WriteString(html.EscapeString(code))
	}
	b.WriteString("</code></pre>\n")
	return template.HTML(b.String())
}

// tokenise gives the code's tokens, or nil where it is to be shown plain.
func tokenise(language, code string) chroma.Iterator {
	if language == "" || len(language) > maxLanguage || len(code) > maxHighlighted {
		return nil
	}
	lexer := lexers.Get(language)
	if lexer == nil {
		return nil
	}
	tokens, err := chroma.Coalesce(lexer).Tokenise(nil, code)
	if err != nil {
		return nil
	}
	return tokens
}

// writeToken writes a token, with its class if there is anything to colour.
func writeToken(b *strings.Builder, t chroma.Token) {
	class := tokenClass(t.Type)
	if class == "" || t.Type == chroma.TextWhitespace {
		b.WriteString(html.EscapeString(t.Value))
		return
	}
	b.WriteString(`<span class="` + class + `">` + html.EscapeString(t.Value) + "</span>")
}

// tokenClass gives a token's class by the custom that chroma's style sheets follow, or that of its wider kind.
func tokenClass(t chroma.TokenType) string {
	for _, kind := range []chroma.TokenType{t, t.SubCategory(), t.Category()} {
		if class, ok := chroma.StandardTypes[kind]; ok {
			return class
		}
	}
	return ""
}
