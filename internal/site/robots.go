package site

import (
	"cmp"
	"net/url"
	"strings"
)

// robots gives robots.txt by RFC 9309: search engines may read the open edition, whose sitemap it names, and no other. A crawler looks for
// it at the top of the host alone, which it says where the handbook stands deeper.
func robots(address string, edition Edition) []byte {
	u, err := url.Parse(address)
	if err != nil {
		u = &url.URL{Path: "/"} // no handbook has such an address
	}
	at := cmp.Or(u.EscapedPath(), "/")
	var b strings.Builder
	if at != "/" {
		top := url.URL{Scheme: u.Scheme, Host: u.Host, Path: "/" + robotsPath}
		b.WriteString("# Crawlers read these lines only if they stand in " + top.String() + "\n")
	}
	b.WriteString("User-agent: *\n")
	if edition != OpenEdition {
		b.WriteString("Disallow: " + robotsPattern(at) + "\n")
		return []byte(b.String())
	}
	b.WriteString("Allow: " + robotsPattern(at) + "\n")
	if address != "" {
		b.WriteString("\nSitemap: " + absolute(address, sitemapPath) + "\n")
	}
	return []byte(b.String())
}

// robotsPattern writes a path so that no sign in it stands for others (RFC 9309, 2.2.3).
func robotsPattern(path string) string {
	return strings.NewReplacer("*", "%2A", "$", "%24").Replace(path)
}
