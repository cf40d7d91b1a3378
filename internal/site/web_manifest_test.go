package site

import (
	"encoding/json"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/golden"
)

// manifestFaults tells what would be passed over in a manifest found at an address, by the W3C's Web Application Manifest (from memory).
func manifestFaults(data []byte, address string) []string {
	var m map[string]any
	if err := json.Unmarshal(data, &m); err != nil {
		return []string{err.Error()}
	}
	at, err := url.Parse(address)
	if err != nil {
		return []string{err.Error()}
	}
	var faults []string
	resolve := func(v any) string {
		s, _ := v.(string)
		u, err := at.Parse(s)
		if err != nil || s == "" {
			faults = append(faults, "no address")
			return ""
		}
		return u.String()
	}
	words := map[string]*regexp.Regexp{
		"name": regexp.MustCompile(`\S`), "description": regexp.MustCompile(`\S`), "lang": regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]+)*$`),
		"display": regexp.MustCompile(`^(fullscreen|standalone|minimal-ui|browser)$`), "theme_color": regexp.MustCompile(`^#[0-9a-f]{6}$`),
		"background_color": regexp.MustCompile(`^#[0-9a-f]{6}$`), "dir": regexp.MustCompile(`^(ltr|rtl|auto)$`), "id": regexp.MustCompile(`^/`), "start_url": regexp.MustCompile(``), "scope": regexp.MustCompile(``),
	}
	for name, v := range m {
		if s, _ := v.(string); name != "icons" && (words[name] == nil || !words[name].MatchString(s)) {
			faults = append(faults, name+" is unknown or wrong")
		}
	}
	scope := resolve(m["scope"])
	if m["name"] == nil || !strings.HasPrefix(resolve(m["start_url"]), scope) {
		faults = append(faults, "no name, or a start out of scope")
	}
	icons, _ := m["icons"].([]any)
	for _, icon := range icons {
		i, _ := icon.(map[string]any)
		sizes, _ := i["sizes"].(string)
		if !strings.HasPrefix(resolve(i["src"]), scope) || !regexp.MustCompile(`^(any|[1-9]\d*x[1-9]\d*)$`).MatchString(sizes) {
			faults = append(faults, "a wrong icon")
		}
	}
	return faults
}

func TestWebManifest(t *testing.T) {
	t.Parallel()
	const at = "https://larkrow.example/handbook/manifest.webmanifest"
	mark := defaultTheme(t).assetPaths()["mark.svg"]
	require.NotEmpty(t, mark)
	all := ManifestInfo{
		Title: "The Larkrow stillroom", About: "The working formulas of a small stillroom.", Lang: "en", Colour: "#7a2e4d", Background: "#fbf8f1",
		Icons: []ManifestIcon{{Path: mark, Type: "image/svg+xml", Sizes: "any"}},
	}
	data, err := webManifest(all)
	require.NoError(t, err)
	assert.Contains(t, string(data), `"src": "`+mark+`"`)
	assert.Empty(t, manifestFaults(data, at))

	all.Icons[0].Path = "assets/mark.svg" // the golden file does not change with the theme
	data, err = webManifest(all)
	require.NoError(t, err)
	golden.Equal(t, filepath.Join("testdata", "lists", manifestPath), string(data))

	for _, word := range hostileWords {
		data, err := webManifest(ManifestInfo{Title: word, About: word, Icons: []ManifestIcon{{Path: "assets/a b?#.png", Sizes: "512x512", Type: "image/png"}}})
		require.NoError(t, err)
		assert.Empty(t, manifestFaults(data, at), "%q", word)
		var m struct{ Name, Description string }
		require.NoError(t, json.Unmarshal(data, &m))
		assert.Equal(t, jsonText(word), m.Name)
		assert.Equal(t, jsonText(word), m.Description)
		assert.Contains(t, string(data), `"assets/a%20b%3F%23.png"`)
	}
}

// The rules find what is wrong.
func TestManifestFaults(t *testing.T) {
	t.Parallel()
	data, err := webManifest(ManifestInfo{Title: "T", Lang: "en", Colour: "#ffffff", Icons: []ManifestIcon{{Path: "a.svg", Sizes: "any", Type: "image/svg+xml"}}})
	require.NoError(t, err)
	good := string(data)
	require.Empty(t, manifestFaults(data, "https://larkrow.example/handbook/m"))
	for old, bad := range map[string]string{
		`"T"`: `" "`, `"name"`: `"nam"`, `"./index.html"`: `"../index.html"`, `"./"`: `""`, `"minimal-ui"`: `"small"`, `"en"`: `"English"`, `#ffffff`: `white;`,
		`"any"`: `"all"`, `"a.svg"`: `"https://lark.example/a.svg"`, `{`: `[`,
	} {
		changed := strings.Replace(good, old, bad, 1)
		require.NotEqual(t, good, changed)
		assert.NotEmpty(t, manifestFaults([]byte(changed), "https://larkrow.example/handbook/m"), bad)
	}
}
