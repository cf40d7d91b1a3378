// Package picture takes out of picture files what readers are not to have.
//
// A photograph tells where and when it was taken and by what device; a drawing holds its editor's notes and can run scripts or call
// for files elsewhere. Clean keeps what is needed to show the picture and copies that byte for byte, without decoding the pixels.
// What the pixels themselves show, and bytes hidden inside their compressed data, stay as they are.
package picture

import (
	"bytes"
	"path"
	"strings"
)

// An Error says why a picture cannot be cleaned.
type Error struct {
	What   string // what is wrong with the file, lower case and without a full stop
	Hint   string // what to do about it
	Offset int    // for drawings, the byte in the file near which it was found; 0 where it has no one place
}

// Error gives what is wrong and what to do, in one line.
func (e *Error) Error() string { return e.What + ": " + e.Hint }

// damaged is the error for a file that is not what its beginning promises.
func damaged(what string) *Error {
	return &Error{What: what, Hint: "open it in a picture editor and save it anew, or fetch it once more from where it came from"}
}

// A format is a kind of picture file that pages can show.
type format struct {
	is    func(data []byte) bool // by its signature
	mime  string
	clean func(data []byte) ([]byte, error)
}

// formats are the formats that pages can show.
func formats() []format {
	return []format{
		{isJPEG, "image/jpeg", cleanJPEG},
		{isPNG, "image/png", cleanPNG},
		{isWebP, "image/webp", cleanWebP},
		{isGIF, "image/gif", cleanGIF},
		{isSVG, svgType, func(data []byte) ([]byte, error) { return cleanSVG(data, 0) }},
	}
}

// formatOf tells a file's format from its own first bytes.
func formatOf(data []byte) (format, bool) {
	for _, f := range formats() {
		if f.is(data) {
			return f, true
		}
	}
	return format{}, false
}

// Clean gives a JPEG, PNG, WebP, GIF or SVG file without what readers are not to have: where, when and with what a photograph was
// taken, comments, earlier versions, editors' data, scripts, and addresses of other files. It looks the same as before. The format
// is told by the file's first bytes; the name serves to refuse endings under which no browser would show it. Cleaning a
// clean file gives the same bytes. The data is only read, and the result shares no memory with it. Errors are of type *Error.
func Clean(name string, data []byte) ([]byte, error) {
	f, ok := formatOf(data)
	if !ok {
		return nil, unknown(data)
	}
	if err := misnamed(name, f); err != nil {
		return nil, err
	}
	return f.clean(data)
}

// misnamed refuses a drawing named like a photograph, or the other way round. Browsers look into files to tell photographs'
// formats from each other but go by the name for drawings: WHATWG MIME Sniffing, 8 (from memory).
func misnamed(name string, f format) error {
	ending := strings.ToLower(path.Ext(name))
	switch {
	case f.mime == svgType && strings.Contains(" .jpg .jpeg .png .webp .gif ", " "+ending+" "):
		return &Error{What: "the file is an SVG drawing, but its name ends in " + ending, Hint: "let the name end in .svg, or browsers will not show it"}
	case f.mime != svgType && ending == ".svg":
		right := "." + strings.TrimPrefix(f.mime, "image/")
		return &Error{What: "the file is no SVG drawing, as its name says, but " + f.mime, Hint: "let the name end in " + right + ", or browsers will not show it"}
	}
	return nil
}

// unknown says what a file seems to be that is no picture pages can show.
func unknown(data []byte) error {
	const save = "save it as JPEG, PNG, WebP, GIF or SVG"
	switch {
	case len(data) == 0:
		return damaged("the file is empty")
	case bytes.HasPrefix(data, []byte{0x1F, 0x8B}):
		return &Error{What: "the file is compressed (gzip, as in .svgz)", Hint: "save it as a plain SVG drawing"}
	case len(data) >= 12 && string(data[4:8]) == "ftyp":
		return &Error{What: "the file is of the HEIC, AVIF or video family, which cannot be cleaned of its hidden data", Hint: save}
	case bytes.HasPrefix(data, []byte("II*\x00")), bytes.HasPrefix(data, []byte("MM\x00*")):
		return &Error{What: "the file is a TIFF or raw picture, which browsers do not show", Hint: save}
	case bytes.HasPrefix(data, []byte("BM")):
		return &Error{What: "the file is a BMP picture, which is too large for pages", Hint: save}
	}
	return &Error{What: "the file begins like no picture that pages can show", Hint: save}
}
