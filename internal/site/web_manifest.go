package site

import "net/url"

// ManifestInfo is what a device is told of the handbook when it is put among its apps.
type ManifestInfo struct {
	Title, About, Lang string
	Dir                string         // which way it is written: ltr or rtl
	Address            string         // ends with /; "" where the handbook gives none
	Colour, Background string         // as CSS writes them; "" leaves them to the device
	Icons              []ManifestIcon // none where the theme has no mark
}

// A ManifestIcon is a picture that stands for the handbook.
type ManifestIcon struct {
	Path  string // from the top of the output
	Type  string // image/svg+xml
	Sizes string // "any" for a drawing, else such as 512x512
	Trim  bool   // the device may cut it to a shape of its own: nothing of importance stands outside a circle of four fifths of its width
}

// The shape of manifest.webmanifest, by the W3C's Web Application Manifest (members' names from memory). Its id is taken from the host's top,
// where several handbooks may stand, and so is the path of the start page, which it would be without one too; a handbook that does not
// know where it stands has none.
type (
	appFile struct {
		Name        string    `json:"name"`
		Description string    `json:"description,omitempty"`
		Lang        string    `json:"lang,omitempty"`
		Dir         string    `json:"dir,omitempty"`
		ID          string    `json:"id,omitempty"`
		Start       string    `json:"start_url"`
		Scope       string    `json:"scope"`
		Display     string    `json:"display"`
		Colour      string    `json:"theme_color,omitempty"`
		Background  string    `json:"background_color,omitempty"`
		Icons       []appIcon `json:"icons,omitempty"`
	}

	appIcon struct {
		Source  string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose,omitempty"`
	}
)

// webManifest gives manifest.webmanifest. Its addresses are relative to it, so that it holds wherever the handbook stands.
func webManifest(m ManifestInfo) ([]byte, error) {
	file := appFile{
		Name: m.Title, Description: m.About, Lang: m.Lang, Dir: m.Dir, Start: "./" + homePath, Scope: "./",
		Display: "minimal-ui", // which keeps a way back
		Colour:  m.Colour, Background: m.Background,
	}
	if u, err := url.Parse(m.Address); err == nil && m.Address != "" {
		file.ID = u.EscapedPath() + homePath
	}
	for _, i := range m.Icons {
		icon := appIcon{Source: urlPath(i.Path), Sizes: i.Sizes, Type: i.Type}
		if i.Trim {
			icon.Purpose = "maskable"
		}
		file.Icons = append(file.Icons, icon)
	}
	return EncodeJSON(file)
}
