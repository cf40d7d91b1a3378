package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadme does what a new user does who follows the README, and sees that the program answers as the README says.
func TestReadme(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	answers := 0
	for _, block := range regexp.MustCompile("(?s)```(sh|markdown|console)\n(.*?)```").FindAllStringSubmatch(string(raw), -1) {
		text := block[2]
		switch block[1] {
		case "sh":
			for line := range strings.Lines(text) {
				if args, ok := strings.CutPrefix(line, "stillroom "); ok {
					command(t, args)
				}
			}
		case "markdown":
			require.NoError(t, os.WriteFile(winterBalm, []byte(text), 0o644))
		case "console":
			slip(t, text)
			for _, step := range strings.Split("\n"+text, "\n$ stillroom ")[1:] {
				args, want, _ := strings.Cut(step, "\n")
				assert.Equal(t, strings.TrimSpace(want), strings.TrimSpace(command(t, args)), "stillroom %s", args)
				answers++
			}
		}
	}
	assert.GreaterOrEqual(t, answers, 4, "the README shows what the program answers")
}

const winterBalm = "my-handbook/recipes/winter-balm.md"

// slip makes the slip that the README's last example shows: the line in its excerpt takes the place of the one in the page.
func slip(t *testing.T, text string) {
	excerpt := regexp.MustCompile(`(?m)^ +12 \| (.*)$`).FindStringSubmatch(text)
	if excerpt == nil {
		return
	}
	page, err := os.ReadFile(winterBalm)
	require.NoError(t, err)
	lines := strings.Split(string(page), "\n")
	lines[11] = excerpt[1]
	require.NoError(t, os.WriteFile(winterBalm, []byte(strings.Join(lines, "\n")), 0o644))
}

// command runs a command line and gives all that it says.
func command(t *testing.T, line string) string {
	var args []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		args = append(args, m[1]+m[2])
	}
	var said bytes.Buffer
	run(args, strings.NewReader(""), &said, &said)
	return said.String()
}
