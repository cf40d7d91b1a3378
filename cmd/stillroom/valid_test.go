package main

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/valid"
)

// Every page that the program writes keeps to the standards: the demonstration as everyone, members and its maker have it, on paper too, and a
// handbook just begun (the Nu Html Checker: HTML Living Standard, ARIA, CSS).
func TestPagesAreValid(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	begun := filepath.Join(t.TempDir(), "begun")
	for _, args := range [][]string{
		{"publish", "../../content", "--to", in("open")},
		{"publish", "../../content", "--edition", "members", "--to", in("members")},
		{"publish", "../../content", "--edition", "maker", "--to", in("maker")},
		{"binder", "../../content", "--html", "--to", in("binder.html")},
		{"binder", "--sheet", "hedgerow-hand-cream", "250g", "--in", "../../content", "--html", "--to", in("sheet.html")},
		{"begin", begun},
		{"publish", begun, "--to", in("begun")},
	} {
		var talk strings.Builder
		require.Zero(t, run(args, strings.NewReader(""), io.Discard, &talk), "%s: %s", args, talk.String())
	}
	for _, sheet := range []string{"preview/preview.css", "print/binder.css", "print/labels.css"} {
		raw, err := fs.ReadFile(os.DirFS("../../themes/linen"), sheet)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(in(filepath.Base(sheet)), raw, 0o644))
	}
	assert.Empty(t, valid.Files(t, dir))
}
