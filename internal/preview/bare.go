package preview

import (
	"bytes"
	"html"
	"path"
	"slices"
	"strings"

	"larkrow.example/stillroom/internal/problem"
)

// missingFile is the page that a theme has for addresses that lead nowhere.
const missingFile = "404.html"

// settingsFile is what the title page, if any page, is written in.
const settingsFile = "handbook.yaml"

// bare gives a page in the theme's frame that says why there is nothing to show: a fault in drawing it, or problems in its file, which are
// told below it.
func bare(s *State, file string, fault error) []byte {
	title, words := "This page cannot be shown yet", "Mend the problems below and save the file: the page then comes by itself."
	if fault != nil {
		title, words = "This page could not be drawn", shown(fault.Error())
	}
	main := `<main id="part--main" class="sheet">
<header class="head">
<div class="title">
<h1>` + title + `</h1>
<p class="lede">` + html.EscapeString(words) + `</p>
</div>
</header>
</main>`
	frame, found, err := s.Page(missingFile)
	if !found || err != nil {
		return []byte("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>" + title + "</title>\n</head>\n<body>\n" + main + "\n</body>\n</html>\n")
	}
	return retitled(withMain(fromTop(frame, s), main), title+" · "+sourceFile(s, file))
}

// withMain puts a main part in the place of the page's own, or at the end of the body of a theme that has none.
func withMain(page []byte, main string) []byte {
	from, to := tag(page, "<main"), bytes.LastIndex(page, []byte("</main>"))
	if from < 0 || to < from {
		_, _, to = places(page)
		from = to
	} else {
		to += len("</main>")
	}
	return bytes.Join([][]byte{page[:from], []byte(main), page[to:]}, nil)
}

// retitled gives a page another title.
func retitled(page []byte, title string) []byte {
	from, to := bytes.Index(page, []byte("<title>")), bytes.Index(page, []byte("</title>"))
	if from < 0 || to < from {
		return page
	}
	return bytes.Join([][]byte{page[:from+len("<title>")], []byte(html.EscapeString(title)), page[to:]}, nil)
}

// fromTop makes the addresses of a page that lies at the top good for one that is shown at any depth: those within the page's folder, and
// those at the handbook's own address, begin with a slash.
func fromTop(page []byte, s *State) []byte {
	page = bytes.ReplaceAll(page, []byte(`"./`), []byte(`"/`))
	if address := s.Build.Address; address != "" {
		page = bytes.ReplaceAll(page, []byte(`"`+html.EscapeString(address)), []byte(`"/`))
	}
	return page
}

// sourceFile gives the file of the handbook that a page is made from, whether or not it could be read; "" for pages that have none.
func sourceFile(s *State, file string) string {
	if file == "index.html" {
		return settingsFile
	}
	parts := strings.Split(file, "/")
	if len(parts) != 3 || parts[2] != "index.html" {
		return ""
	}
	if source := s.Build.Source(file); source != "" {
		return source
	}
	for _, p := range s.Problems {
		if f := p.Span.File(); pagePath(f) == file {
			return f
		}
	}
	return ""
}

// isFaulty says whether a file of the handbook has problems.
func isFaulty(s *State, source string) bool {
	return slices.ContainsFunc(s.Problems, func(p *problem.Problem) bool { return p.Span.File() == source })
}

// isBlank says whether a page's file is there but never was good enough to show anything of it: it has no title, or its formula no shares.
func isBlank(s *State, file string) bool {
	source := sourceFile(s, file)
	if source == "" || source == settingsFile || !isFaulty(s, source) {
		return false
	}
	page, recipe := s.Build.PageOf(source), s.Build.Recipe(file)
	return page == nil || page.Title == "" || recipe != nil && len(recipe.Versions) == 0
}

// pagePath gives the page that is made from a file of the handbook, or "". The last folder is the page's own.
func pagePath(file string) string {
	top, _, _ := strings.Cut(file, "/")
	name := path.Base(file)
	switch {
	case file == settingsFile:
		return "index.html"
	case strings.EqualFold(path.Ext(name), ".md") && (top == "recipes" || top == "ingredients" || top == "notes"):
		return top + "/" + strings.TrimSuffix(name, path.Ext(name)) + "/index.html"
	}
	return ""
}
