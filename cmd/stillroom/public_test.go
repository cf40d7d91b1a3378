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
)

// public/ is the demonstration as the program builds it now.
func TestPublicIsUpToDate(t *testing.T) {
	built := filepath.Join(t.TempDir(), "public")
	var talk strings.Builder
	require.Zero(t, run([]string{"publish", "../../content", "--to", built}, strings.NewReader(""), io.Discard, &talk), talk.String())
	differ := differing(filesUnder(t, built), filesUnder(t, "../../public"))
	assert.Empty(t, differ, "public/ is not what content/ builds; run: go run ./cmd/stillroom publish")
}

func filesUnder(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	root := os.DirFS(dir)
	require.NoError(t, fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(root, name)
		files[name] = string(raw)
		return err
	}))
	require.NotEmpty(t, files)
	return files
}
