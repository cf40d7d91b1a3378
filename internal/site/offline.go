package site

import (
	"bytes"
	"regexp"
)

// workerPath is where the service worker has to be: at the top, or it could not keep every page.
const workerPath = "sw.js"

// version finds what tells an asset from its earlier forms.
var version = regexp.MustCompile(`\.([0-9a-f]{8})\.js$`)

// Worker gives the relative address of the service worker, which keeps what was read for when there is no connection, or "" where the theme
// has none. It changes only with the worker itself, since what was read is lost when it changes.
func (f *Frame) Worker() string {
	m := version.FindStringSubmatch(f.Assets[workerPath])
	if m == nil {
		return ""
	}
	return f.Root + workerPath + "?v=" + m[1]
}

// workerOutput gives the service worker, at the top; nothing where the theme has none.
func (s *Build) workerOutput() []output {
	asset, has := s.theme.Assets()[workerPath]
	if !has {
		return nil
	}
	return []output{{workerPath, func(*bytes.Buffer) ([]byte, error) { return asset.Bytes, nil }}}
}
