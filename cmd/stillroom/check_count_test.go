package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The last line of check counts what is told above it: a finding of several versions stands there once and counts once.
func TestCheckCountsWhatItTells(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"hedgerow", "findings"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var out, said bytes.Buffer
			run([]string{"check", filepath.Join("..", "..", "testdata", "handbooks", name), "--notes"}, strings.NewReader(""), &out, &said)
			told := map[string]int{}
			for _, m := range regexp.MustCompile(`(?m)^\S+:\d+:\d+: (stop|caution|note) .*\n(  accepted)?`).FindAllStringSubmatch(out.String(), -1) {
				if m[2] != "" {
					m[1] = "accepted"
				}
				told[m[1]]++
			}
			assert.Equal(t, name == "hedgerow", strings.Contains(out.String(), ", Rich): "), "some finding is of several versions")
			last := regexp.MustCompile(`(\d+) stops?, (\d+) cautions?, (\d+) notes?, (\d+) accepted`).FindStringSubmatch(said.String())
			require.NotNil(t, last, said.String())
			for i, kind := range []string{"stop", "caution", "note", "accepted"} {
				assert.Equal(t, fmt.Sprint(told[kind]), last[i+1], kind)
			}
		})
	}
}
