// Package linen holds the default theme: a workroom book in paper and ink.
package linen

import "embed"

// FS has the theme's pages/ (a template a page kind), pieces/ (the parts that pages share), assets/, words/ (what pages say, a language a file) and print/
// (what is made for paper).
//
//go:embed pages pieces assets words print
var FS embed.FS

// Preview has what the preview adds to a page while it is written, under preview/. None of it is published.
//
//go:embed preview
var Preview embed.FS
