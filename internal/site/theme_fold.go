package site

import (
	"errors"
	"html/template"
	"text/template/parse"

	"larkrow.example/stillroom/internal/words"
)

// Most of what a page says of its own is the same on every page: {{say "recipe.weigh"}} has no places. Once the templates of a language have been escaped, each such
// action is replaced by the text that it would write, and runs with the markup around it.

// fold replaces what pages say without places by its text. It has the pages escaped first, all of them: what is in the set afterwards is good for
// pages alone, since a piece that were called in a new place could not be escaped anew.
func fold(set *template.Template, l *words.Language) {
	for _, kind := range pageKinds() {
		if page := set.Lookup(pagePath(kind)); page != nil {
			_ = page.Execute(shut{}, nil) // which escapes it, and gets no further; a fault in it is told when it is drawn
		}
	}
	for _, t := range set.Templates() {
		if t.Tree != nil {
			foldList(t.Tree.Root, l)
		}
	}
}

// shut takes nothing.
type shut struct{}

var errShut = errors.New("nothing is written here")

func (shut) Write([]byte) (int, error) { return 0, errShut }

// foldList folds what stands in a part of a template.
func foldList(list *parse.ListNode, l *words.Language) {
	if list == nil {
		return
	}
	left := list.Nodes[:0]
	for _, n := range list.Nodes {
		switch n := n.(type) {
		case *parse.IfNode:
			foldBranch(&n.BranchNode, l)
		case *parse.WithNode:
			foldBranch(&n.BranchNode, l)
		case *parse.RangeNode:
			foldBranch(&n.BranchNode, l)
		}
		text := textOf(n, l)
		if text == nil {
			left = append(left, n)
			continue
		}
		if len(left) > 0 {
			if last, is := left[len(left)-1].(*parse.TextNode); is {
				last.Text = append(last.Text[:len(last.Text):len(last.Text)], text...)
				continue
			}
		}
		left = append(left, &parse.TextNode{NodeType: parse.NodeText, Pos: n.Position(), Text: text})
	}
	clear(list.Nodes[len(left):])
	list.Nodes = left
}

func foldBranch(n *parse.BranchNode, l *words.Language) {
	foldList(n.List, l)
	foldList(n.ElseList, l)
}

// textOf gives what a part of a template always writes: nil where that is not known.
func textOf(n parse.Node, l *words.Language) []byte {
	switch n := n.(type) {
	case *parse.TextNode:
		return n.Text
	case *parse.ActionNode:
		key, escaped := plainlySaid(n.Pipe)
		said, err := l.Try(key)
		text, plain := said.(string)
		if !escaped || err != nil || !plain {
			return nil
		}
		k := make(ink, 0, len(text))
		k.value(text)
		return k
	}
	return nil
}

// plainlySaid gives the key of an action that says a text without values where element content or a quoted attribute stands, which are escaped alike.
func plainlySaid(p *parse.PipeNode) (key string, ok bool) {
	if len(p.Decl) > 0 || len(p.Cmds) != 2 || len(p.Cmds[0].Args) != 2 || len(p.Cmds[1].Args) != 1 {
		return "", false
	}
	say, isName := p.Cmds[0].Args[0].(*parse.IdentifierNode)
	text, isText := p.Cmds[0].Args[1].(*parse.StringNode)
	escaper, isEscaper := p.Cmds[1].Args[0].(*parse.IdentifierNode)
	if !isName || !isText || !isEscaper || say.Ident != "say" {
		return "", false
	}
	return text.Text, escaper.Ident == "_html_template_htmlescaper" || escaper.Ident == "_html_template_attrescaper"
}
