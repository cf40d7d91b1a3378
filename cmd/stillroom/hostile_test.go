//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A hostile handbook is published, or refused with the place and what to do, within seconds and little memory. The figures are generous: none of
// these takes a second of an idle core.
const (
	hostileSeconds = 20
	hostileMB      = 300
)

// counted forms: each makes n lines or pieces.
func repeated(form string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, form, i)
	}
	return b.String()
}

// hostileRecipe is a sound recipe with further front matter, further lines and a body.
func hostileRecipe(front, lines, body string) string {
	return "---\ntitle: Big\nproduct: hand cream\nshelf: Creams\n" + front + "formula:\n  - phase: Oil\n    weigh:\n      Sunflower oil: q.s.\n" + lines + "---\n" + body
}

const (
	eightBatches   = "batches: [100 g, 200 g, 300 g, 400 g, 500 g, 1 kg, 2 kg, 3 kg]\n"
	elevenVariants = "{name: V%d, add: {Shea butter: 1 %%}}, "
)

func TestHostileHandbooks(t *testing.T) {
	versions := eightBatches + "variants: [" + repeated(elevenVariants, 11) + "]\n"
	rows := []struct {
		name string
		file string
		text string
		told string // of a refusal: file, place and message; "" for what is published
	}{
		{"50,000 ingredients", "recipes/a.md", hostileRecipe("", repeated("      dust %d: 0.001 %%\n", 50_000), ""), "recipes/a.md:2:1: the facts are longer than the 256 KB"},
		{"5,000 ingredients", "recipes/a.md", hostileRecipe("", repeated("      dust %d: 0.01 %%\n", 5_000), ""), "recipes/a.md:8:7: this group has 5001 values, and none can have more than 1000"},
		{"as much as can be", "recipes/a.md", hostileRecipe(versions, repeated("      dust %d: 0.1 %%\n", 198), strings.Repeat(":amount[Oil]\n\n", 500)), ""},
		{"a line of 10 MB", "recipes/a.md", hostileRecipe("", "", strings.Repeat("a", 10<<20)), "recipes/a.md:1:1: the file is larger than the 2 MB"},
		{"a body of 1 MB", "recipes/a.md", hostileRecipe("", "", strings.Repeat("a\n\n", 1<<19)), "the text is longer than a page can be"},
		{"18,000 amounts", "recipes/a.md", hostileRecipe(versions, "", strings.Repeat(":amount[Oil]\n\n", 18_000)), "the text has 18000 amounts, and it can have 500"},
		{"a huge table", "notes/a.md", "---\ntitle: A\n---\n|" + strings.Repeat("a|", 900) + "\n|" + strings.Repeat("-|", 900) + "\n" + strings.Repeat("|a|\n", 900), "this table has far more columns than its rows fill"},
		{"deep nesting", "notes/a.md", "---\ntitle: A\n---\n" + strings.Repeat("> ", 4_000) + "a\n", "more than 100 blocks stand in one another"},
		{"deep lists", "notes/a.md", "---\ntitle: A\n---\n" + strings.Repeat("- ", 4_000) + "a\n", "more than 100 blocks stand in one another"},
		{"deep brackets", "notes/a.md", "---\ntitle: " + strings.Repeat("[", 50_000) + "\n---\n", "notes/a.md:2:"},
		{"references", "notes/a.md", "---\n" + "a: &a [x, x]\n" + repeated("b%[1]d: [*a, *a, *a]\n", 20) + "---\n", "notes/a.md:"},
		{"20,000 shelves", "handbook.yaml", "title: A\nshelves: [Creams, " + repeated("S%d, ", 20_000) + "]\n", "handbook.yaml:2:10: this list has 20001 values"},
		{"5,000 containers", "recipes/a.md", hostileRecipe("fill:\n"+repeated("  - {container: jar %d, takes: 52 g}\n", 5_000), "", ""), "recipes/a.md:6:3: this list has 5000 values"},
		{"9,000 constituents", "ingredients/a.md", "---\nname: A\ninci: {" + repeated("C%d: 0.01 %%, ", 9_000) + "}\n---\n", "ingredients/a.md:3:7: this group has 9000 values"},
		{"a long title", "notes/a.md", "---\ntitle: " + strings.Repeat("x", 200_000) + "\n---\n", "notes/a.md:2:8: this has 200000 characters"},
		{"20,000 mistakes", "notes/a.md", "---\ntitle: A\n---\n" + strings.Repeat("[a](b.md)\n\n", 20_000), "notes/a.md:4:5: the link to “b.md” leads nowhere"},
		{"20,000 links", "notes/a.md", "---\ntitle: A\n---\n" + strings.Repeat("[a](https://larkrow.example)\n\n", 8_000), ""},
		{"headings alike", "notes/a.md", "---\ntitle: A\n---\n" + strings.Repeat("# a\n", 50_000), ""},
		{"scripts", "notes/a.md", "---\ntitle: \"<script>pwned()</script>\"\n---\n<script>pwned()</script> <img src=x onerror=pwned()>\n\n[a](https://larkrow.example/%22onclick=%22pwned())\n", ""},
		{"a link that runs", "notes/a.md", "---\ntitle: A\n---\n[a](javascript:pwned%28%29)\n", "notes/a.md:4:5:"},
		{"a large drawing", "pictures/a.svg", `<svg xmlns="http://www.w3.org/2000/svg">` + strings.Repeat("<g/>", 2<<20) + "</svg>", "pictures/a.svg:1:1: the file has 9 MB, and a drawing can have 4"},
		{"a drawing of entities", "pictures/a.svg", `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text>&b;</text></svg>`, "pictures/a.svg"},
		{"what drives a terminal", "recipes/a.md", hostileRecipe("summary: \"\\e[2J\\e]0;x\\a\"\n", "", ""), "there is a control character in this value"},
		{"what drives a terminal, raw", "notes/a.md", "---\ntitle: A\n---\n\x1b[2J\x9b31m\x1b]8;;http://larkrow.example\x07\n", "notes/a.md:4:5: this is not UTF-8 text"},
		{"what turns the text about", "notes/a.md", "---\ntitle: A\n---\nTake \u202e5.1 g.\n", "notes/a.md:4:6: a character that does not show and turns the reading direction stands here (U+202E)"},
		{"a name that looks like another", "recipes/a.md", hostileRecipe("", "      Glyc\u0435rin: 5 %\n", ""), "the letter “\u0435” is not the Latin one that it looks like (it is U+0435)"},
		{"a pile of accents", "notes/a.md", "---\ntitle: A\n---\nCre" + strings.Repeat("\u0301", 21) + "me\n", "20 accents stand on one letter here"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			write := func(file, text string) {
				to := filepath.Join(dir, "book", filepath.FromSlash(file))
				require.NoError(t, os.MkdirAll(filepath.Dir(to), 0o755))
				require.NoError(t, os.WriteFile(to, []byte(text), 0o644))
			}
			write("handbook.yaml", "title: Larkrow stillroom\nshelves: [Creams]\n")
			write("notes/shown.md", "---\ntitle: Shown\n---\n![a](a.svg)\n")
			write("pictures/a.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>`)
			write(row.file, row.text)
			code, said := bounded(t, "stillroom", "publish", filepath.Join(dir, "book"), "--to", filepath.Join(dir, "out"))
			for _, r := range said {
				if unicode.IsControl(r) && r != '\n' || r >= 0x202a && r <= 0x202e {
					t.Fatalf("%q reaches the terminal", r)
				}
			}
			assert.Less(t, len(said), 1<<20, "what is told can be read")
			if row.told == "" {
				require.Zero(t, code, said)
				assertNoScript(t, filepath.Join(dir, "out"))
				return
			}
			assert.Equal(t, unreadable, code)
			assert.Contains(t, said, row.told)
			assert.Regexp(t, `what to do: |save it anew`, said)
			assert.NoDirExists(t, filepath.Join(dir, "out"))
		})
	}
}

// bounded runs a command and sees that it takes neither long nor much memory. It gives the exit code and all that was said.
func bounded(t *testing.T, name string, args ...string) (code int, said string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, name, args...)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	cmd.Env = append(os.Environ(), "XDG_CACHE_HOME="+t.TempDir())
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	spent := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	assert.Less(t, spent.Seconds(), float64(hostileSeconds), "seconds of work")
	kilobytes := int64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) //nolint:unconvert // its type differs between systems
	if runtime.GOOS == "darwin" {
		kilobytes >>= 10
	}
	assert.Less(t, kilobytes>>10, int64(hostileMB), "MB of memory")
	t.Logf("%.2f s of work, %d MB", spent.Seconds(), kilobytes>>10)
	return cmd.ProcessState.ExitCode(), out.String()
}

// assertNoScript sees that no page has what a text would have brought into it.
func assertNoScript(t *testing.T, dir string) {
	t.Helper()
	pages := 0
	require.NoError(t, filepath.WalkDir(dir, func(file string, d os.DirEntry, err error) error {
		if err != nil || filepath.Ext(file) != ".html" {
			return err
		}
		raw, err := os.ReadFile(file)
		pages++
		for _, bad := range []string{"<script>", "<img src=x", "onclick=\"", "onerror=\""} {
			assert.NotContains(t, string(raw), bad, file)
		}
		return err
	}))
	assert.Positive(t, pages)
}
