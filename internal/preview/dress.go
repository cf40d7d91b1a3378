package preview

import (
	"bytes"
	"strconv"
)

// headPieces are what a page needs to keep itself up to date. They stand in the page as it is served, never in what is published.
const headPieces = `<link rel="stylesheet" href="/-/preview.css">
<script src="/-/idiomorph.js" defer></script>
<script src="/-/preview.js" defer></script>
`

// Dress gives a page as it is served: with the state's number, the preview's style and scripts, the writer's panel, and the problems if there
// are any. path is the page's, from the top.
//
// The places are found by the bytes of the tags: in a page that a theme's templates made, words of the text that look like a tag are escaped.
func Dress(page []byte, s *State, path string) []byte {
	root, head, body := places(page)
	var b bytes.Buffer
	b.Grow(len(page) + 16<<10)
	b.Write(page[:root])
	if root > 0 {
		b.WriteString(` data-preview="` + strconv.Itoa(s.Number) + `"`)
	}
	b.Write(page[root:head])
	b.WriteString(headPieces)
	b.Write(page[head:body])
	b.Write(slip(s, path))
	b.Write(page[body:])
	return b.Bytes()
}

// places gives where to insert: after <html, before </head>, before </body>. Where a theme leaves tags out, HTML puts what stands before the
// body's tag in the head and what stands last in the body; root is 0 where there is no tag that could carry the number.
func places(page []byte) (root, head, body int) {
	low := bytes.ToLower(page)
	if len(low) != len(page) { // letters may be of another length in lower case
		low = page
	}
	if i := tag(low, "<html"); i >= 0 {
		root = i + len("<html")
	}
	body = len(page)
	for _, end := range []string{"</html>", "</body>"} {
		if i := bytes.LastIndex(low[:body], []byte(end)); i >= root {
			body = i
		}
	}
	head = body
	for _, end := range []string{"<body", "</head>"} {
		if i := tag(low[:body], end); i >= root {
			head = i
		}
	}
	return root, head, body
}

// tag finds a tag by how it begins: the name must end there.
func tag(page []byte, begin string) int {
	for from := 0; ; {
		i := bytes.Index(page[from:], []byte(begin))
		if i < 0 {
			return -1
		}
		end := from + i + len(begin)
		if begin[len(begin)-1] == '>' || end < len(page) && bytes.IndexByte([]byte(" \t\r\n/>"), page[end]) >= 0 {
			return from + i
		}
		from = end
	}
}
