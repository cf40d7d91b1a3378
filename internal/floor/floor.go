// Package floor is test support: the least work that building a handbook can be, to measure a build against.
package floor

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"larkrow.example/stillroom/internal/parallel"
)

// Plan lists the files of a built folder in a file, each with its size, for [Build] to write as many and as long ones.
func Plan(built, file string) error {
	var list bytes.Buffer
	err := fs.WalkDir(os.DirFS(built), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			fmt.Fprintf(&list, "%d %s\n", info.Size(), name)
		}
		return err
	})
	return errors.Join(err, os.WriteFile(file, list.Bytes(), 0o644))
}

// Build reads every file of a handbook, turns every page's body into HTML, and writes the files of a plan into a new folder, on all cores: a page has
// its body's HTML, and whatever else it has in a real build is spaces. There is no front matter, no sum, no check and no template in it. It settles
// how the whole process collects garbage: rarely, within 64 MiB, since a floor that collected as often as a small heap asks for would be no floor.
func Build(handbook, plan, out string) error {
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(64 << 20)
	sizes, err := readPlan(plan, out)
	if err != nil {
		return err
	}
	sources, err := files(handbook)
	if err != nil {
		return err
	}
	w := writer{out: out, markdown: goldmark.New(goldmark.WithExtensions(extension.GFM))}
	errs := make([]error, len(sources))
	parallel.Do(len(sources), func(i int) {
		text, err := os.ReadFile(filepath.Join(handbook, sources[i]))
		if err != nil {
			errs[i] = err
			return
		}
		if page := pageOf(sources[i]); page != "" {
			size, planned := sizes[page]
			errs[i] = w.write(page, body(text), size, planned)
		}
	})
	for _, source := range sources {
		delete(sizes, pageOf(source))
	}
	var rest []string
	for name := range sizes {
		rest = append(rest, name)
	}
	more := make([]error, len(rest))
	parallel.Do(len(rest), func(i int) { more[i] = w.write(rest[i], nil, sizes[rest[i]], true) })
	return errors.Join(append(errs, more...)...)
}

// readPlan reads the sizes of files by name, and makes their folders.
func readPlan(plan, out string) (map[string]int, error) {
	f, err := os.Open(plan)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	sizes, made := map[string]int{}, map[string]bool{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var size int
		number, name, _ := strings.Cut(lines.Text(), " ")
		if _, err := fmt.Sscan(number, &size); err != nil {
			return nil, fmt.Errorf("%s: %w", plan, err)
		}
		sizes[name] = size
		if folder := path.Dir(name); !made[folder] {
			made[folder] = true
			if err := os.MkdirAll(filepath.Join(out, folder), 0o755); err != nil {
				return nil, err
			}
		}
	}
	return sizes, nil
}

// files lists the files of a folder.
func files(dir string) (names []string, err error) {
	err = fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			names = append(names, name)
		}
		return err
	})
	return names, err
}

// pageOf gives the name of the page that is made from a file of the handbook, "" for what is no page.
func pageOf(source string) string {
	kind, name, _ := strings.Cut(source, "/")
	slug, ok := strings.CutSuffix(path.Base(name), ".md")
	if !ok {
		return ""
	}
	return path.Join(kind, slug, "index.html")
}

// body gives what stands after a page's front matter.
func body(text []byte) []byte {
	if rest, ok := bytes.CutPrefix(text, []byte("---\n")); ok {
		if _, after, ok := bytes.Cut(rest, []byte("\n---\n")); ok {
			return after
		}
	}
	return text
}

// A writer writes files; it takes calls from several goroutines.
type writer struct {
	out      string
	markdown goldmark.Markdown
	buffers  sync.Pool
}

// write turns a Markdown text into HTML and, if the plan has the file, writes it, as long as it is there.
func (w *writer) write(name string, text []byte, size int, planned bool) error {
	buffer, ok := w.buffers.Get().(*bytes.Buffer)
	if !ok {
		buffer = &bytes.Buffer{}
	}
	defer w.buffers.Put(buffer)
	buffer.Reset()
	if err := w.markdown.Convert(text, buffer); err != nil || !planned {
		return err
	}
	buffer.Grow(size)
	for buffer.Len() < size {
		buffer.Write(spaces[:min(len(spaces), size-buffer.Len())])
	}
	return os.WriteFile(filepath.Join(w.out, name), buffer.Bytes()[:size], 0o644)
}

// spaces fill what is not a body.
var spaces = bytes.Repeat([]byte(" "), 1<<16)
