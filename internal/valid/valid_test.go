package valid

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The checker is really asked: what is right passes, and what is wrong is told, in pages and in style sheets.
func TestFiles(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	const page = `<!DOCTYPE html><html lang="en"><head><title>Balm</title></head><body><h1>Balm</h1></body></html>`
	for name, text := range map[string]string{
		"good.html": page, "good.css": "h1 { color: red }", "data.json": "{", "script.js": "<p>",
		"bad.html": strings.Replace(page, "</body>", `<p id="a"><p id="a"></body>`, 1), "bad.css": "h1 { colour: red }",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	said := strings.Join(Files(t, dir), "\n")
	assert.Regexp(t, `bad\.html:\d+: error: Duplicate ID`, said)
	assert.Regexp(t, `bad\.css:1: error: .*colour`, said)
	assert.NotRegexp(t, `good|data|script`, said)
}
