package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
)

// An Asset is a file that goes beside the pages. Path is where, from the top of the output: its name with the
// first 8 hex digits of the SHA-256 of its bytes, so that a changed file has a new address.
type Asset struct {
	Path  string
	Bytes []byte
}

// cssRef finds what a style sheet points at; comments and strings are matched too, so as to be stepped over.
var cssRef = regexp.MustCompile(`(?s)/\*.*?\*/|url\(\s*("[^"]*"|'[^']*'|[^"'()\s]+)\s*\)|@import\s+("[^"]*"|'[^']*')|"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*'`)

// hasher gives assets their names. A style sheet is hashed after what it points at.
type hasher struct {
	files map[string][]byte // by name in assets/
	done  map[string]Asset
	open  []string // the style sheets being worked on, outermost first
	errs  []error
}

// hashAssets names every file of assets/ by its content and points the style sheets at the new names.
func hashAssets(files map[string][]byte) (map[string]Asset, []error) {
	h := &hasher{files: map[string][]byte{}, done: map[string]Asset{}}
	for name, b := range files {
		if rest, ok := strings.CutPrefix(name, "assets/"); ok {
			h.files[rest] = b
		}
	}
	for _, name := range slices.Sorted(maps.Keys(h.files)) {
		h.asset(name)
	}
	return h.done, h.errs
}

// asset gives the finished asset of a name that is known to exist.
func (h *hasher) asset(name string) Asset {
	if a, ok := h.done[name]; ok {
		return a
	}
	content := h.files[name]
	if path.Ext(name) == ".css" {
		h.open = append(h.open, name)
		content = h.rewrite(name, content)
		h.open = h.open[:len(h.open)-1]
	}
	a := Asset{Path: "assets/" + hashedName(name, content), Bytes: content}
	h.done[name] = a
	return a
}

// hashedName puts the content's hash before the extension.
func hashedName(name string, content []byte) string {
	sum := sha256.Sum256(content)
	ext := path.Ext(name)
	return strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:4]) + ext
}

// rewrite points the references of a style sheet at hashed names.
func (h *hasher) rewrite(sheet string, css []byte) []byte {
	var out bytes.Buffer
	at := 0
	for _, m := range cssRef.FindAllSubmatchIndex(css, -1) {
		from, to := m[2], m[3]
		if from < 0 {
			from, to = m[4], m[5]
		}
		if from < 0 {
			continue
		}
		ref := strings.Trim(string(css[from:to]), `"'`)
		target, err := h.target(sheet, ref)
		if err != nil {
			line := 1 + bytes.Count(css[:from], []byte("\n"))
			h.errs = append(h.errs, fmt.Errorf("theme: assets/%s:%d: %w", sheet, line, err))
			continue
		}
		out.Write(css[at:from])
		fmt.Fprintf(&out, `"%s"`, target)
		at = to
	}
	out.Write(css[at:])
	return out.Bytes()
}

// target gives the hashed form of a reference; those that lead out of the theme stay as they are.
func (h *hasher) target(sheet, ref string) (string, error) {
	if outward(ref) {
		return ref, nil
	}
	file, tail := ref, ""
	if i := strings.IndexAny(ref, "?#"); i >= 0 {
		file, tail = ref[:i], ref[i:]
	}
	name := path.Join(path.Dir(sheet), file)
	if _, ok := h.files[name]; !ok {
		return "", fmt.Errorf("%q is not among the theme's assets", ref)
	}
	if slices.Contains(h.open, name) {
		return "", fmt.Errorf("%q leads in a circle", ref)
	}
	base := path.Base(h.asset(name).Path)
	if folder := path.Dir(file); folder != "." {
		base = folder + "/" + base
	}
	return base + tail, nil
}

// outward tells a reference that names no file of the theme: an address with a scheme, a rooted path, a fragment.
func outward(ref string) bool {
	return ref == "" || strings.ContainsAny(ref[:1], "/#") || scheme(ref) != ""
}
