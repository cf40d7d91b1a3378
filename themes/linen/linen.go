// Package linen holds the default theme: a workroom book in paper and ink.
package linen

import "embed"

// FS has the theme's pages/ (a template a page kind), pieces/ (the parts that pages share) and assets/.
//
//go:embed pages pieces assets
var FS embed.FS

// Preview has what the preview adds to a page while it is written, under preview/. None of it is published.
//
//go:embed preview
var Preview embed.FS

// Print has the pages that are made for paper, and their style sheets, under print/.
//
//go:embed print
var Print embed.FS
