package picture

import (
	"encoding/base64"
	"fmt"
	"net/url"
	"strings"
)

// maxDepth is how many drawings may stand within each other.
const maxDepth = 3

// cleanHref gives an address that an element refers to, and whether it stays: one within the drawing, or for pictures one that
// has its data in itself.
func cleanHref(element, value string, depth int) (string, bool, error) {
	// Browsers leave out these signs wherever they stand: WHATWG URL, 4.1 (from memory).
	value = strings.NewReplacer("\t", "", "\n", "", "\r", "").Replace(strings.Trim(value, controls))
	if strings.HasPrefix(value, "#") {
		return value, true, nil
	}
	if element != "image" && element != "feImage" {
		return "", false, nil
	}
	return cleanData(value, depth)
}

// controls are the signs that are left out around addresses: the space and all below it.
const controls = " \x00\x01\x02\x03\x04\x05\x06\x07\x08\t\n\v\f\r\x0e\x0f\x10\x11\x12\x13\x14\x15\x16\x17\x18\x19\x1a\x1b\x1c\x1d\x1e\x1f"

// cleanData gives a data: address (RFC 2397) of a picture with the picture cleaned, and whether it is one.
func cleanData(address string, depth int) (string, bool, error) {
	kind, data, ok := splitData(address)
	if !ok || !strings.HasPrefix(kind, "image/") {
		return "", false, nil
	}
	f, ok := formatOf(data)
	if !ok || (f.mime == svgType) != (kind == svgType) {
		return "", false, nil // browsers do not show it either
	}
	var clean []byte
	var err error
	switch {
	case f.mime != svgType:
		clean, err = f.clean(data)
	case depth+1 >= maxDepth:
		err = &Error{What: fmt.Sprintf("more than %d drawings stand within each other", maxDepth), Hint: "save it as one plain SVG drawing"}
	default:
		clean, err = cleanSVG(data, depth+1)
	}
	if err != nil {
		return "", false, within(err)
	}
	return "data:" + f.mime + ";base64," + base64.StdEncoding.EncodeToString(clean), true, nil
}

// within says that an error is about a picture inside a drawing, where its own offset means nothing.
func within(err error) error {
	inner, ok := err.(*Error) //nolint:errorlint // ours are never wrapped
	if !ok {
		return err
	}
	return &Error{What: "of a picture inside the drawing: " + strings.TrimPrefix(inner.What, "of a picture inside the drawing: "), Hint: inner.Hint}
}

// splitData gives the media type, in small letters, and the data of a data: address.
func splitData(address string) (kind string, data []byte, ok bool) {
	scheme, rest, _ := strings.Cut(address, ":")
	if !strings.EqualFold(scheme, "data") {
		return "", nil, false
	}
	head, body, ok := strings.Cut(rest, ",")
	if !ok {
		return "", nil, false
	}
	kind, parameters, _ := strings.Cut(strings.ToLower(head), ";")
	body, err := url.PathUnescape(body)
	if err != nil {
		return "", nil, false
	}
	if last := parameters[strings.LastIndexByte(parameters, ';')+1:]; strings.TrimSpace(last) != "base64" {
		return strings.TrimSpace(kind), []byte(body), true
	}
	body = strings.TrimRight(strings.Join(strings.Fields(body), ""), "=")
	data, err = base64.RawStdEncoding.DecodeString(body)
	return strings.TrimSpace(kind), data, err == nil
}
