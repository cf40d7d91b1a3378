// Package linen holds the default theme: a workroom book in paper and ink.
package linen

import "embed"

// FS has the theme's pages/ (a template a page kind), pieces/ (the parts that pages share) and assets/.
//
//go:embed pages pieces assets
var FS embed.FS
