package site

// ManifestInfo is what a device is told of the handbook when it is put among its apps.
type ManifestInfo struct {
	Title, About, Lang string
	Colour, Background string         // as CSS writes them; "" leaves them to the device
	Icons              []ManifestIcon // none where the theme has no mark
}

// A ManifestIcon is a picture that stands for the handbook.
type ManifestIcon struct {
	Path  string // from the top of the output
	Type  string // image/svg+xml
	Sizes string // "any" for a drawing, else such as 512x512
}

// The shape of manifest.webmanifest, by the W3C's Web Application Manifest (members' names from memory). It has no id: that one would be
// taken from the host's top, where several handbooks may stand; without it the start page's address is what tells them apart.
type (
	appFile struct {
		Name        string    `json:"name"`
		Description string    `json:"description,omitempty"`
		Lang        string    `json:"lang,omitempty"`
		Start       string    `json:"start_url"`
		Scope       string    `json:"scope"`
		Display     string    `json:"display"`
		Colour      string    `json:"theme_color,omitempty"`
		Background  string    `json:"background_color,omitempty"`
		Icons       []appIcon `json:"icons,omitempty"`
	}

	appIcon struct {
		Source string `json:"src"`
		Sizes  string `json:"sizes"`
		Type   string `json:"type"`
	}
)

// webManifest gives manifest.webmanifest. Its addresses are relative to it, so that it holds wherever the handbook stands.
func webManifest(m ManifestInfo) ([]byte, error) {
	file := appFile{
		Name: m.Title, Description: m.About, Lang: m.Lang, Start: "./" + homePath, Scope: "./",
		Display: "minimal-ui", // which keeps a way back
		Colour:  m.Colour, Background: m.Background,
	}
	for _, i := range m.Icons {
		file.Icons = append(file.Icons, appIcon{Source: urlPath(i.Path), Sizes: i.Sizes, Type: i.Type})
	}
	return EncodeJSON(file)
}
