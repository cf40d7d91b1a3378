package site

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What RFC 9309, 2.2 lets stand on a line: a group's start, a rule, another record (2.2.4), a remark, nothing. Paths are ASCII.
var robotsLine = regexp.MustCompile(`^((?i:user-agent): (\*|[A-Za-z_-]+)|(?i:allow|disallow):( /[!-"$-~]*)?|(?i:sitemap): https?://\S+|)\s*(#.*)?$`)

// mayRead says whether a robots.txt lets a crawler that it does not name read a path: the longest matching rule decides, an
// allowing one where two are as long, and without any all may be read (RFC 9309, 2.2.2).
func mayRead(t *testing.T, file, path string) bool {
	t.Helper()
	length, may := -1, true
	for line := range strings.Lines(file) {
		line = strings.TrimRight(line, "\n")
		require.Regexp(t, robotsLine, line)
		name, pattern, _ := strings.Cut(line, ":")
		pattern = strings.TrimSpace(pattern)
		if name != "Allow" && name != "Disallow" || pattern == "" || !strings.HasPrefix(path, pattern) {
			continue
		}
		if len(pattern) > length || len(pattern) == length && name == "Allow" {
			length, may = len(pattern), name == "Allow"
		}
	}
	return may
}

func TestRobots(t *testing.T) {
	t.Parallel()
	tests := map[string]struct {
		address string
		edition Edition
		want    string
	}{
		"at the top": {
			"https://larkrow.example/", OpenEdition,
			"User-agent: *\nAllow: /\n\nSitemap: https://larkrow.example/sitemap.xml\n",
		},
		"deeper": {
			"https://larkrow.example:8443/handbook/", OpenEdition,
			"# Crawlers read these lines only if they stand in https://larkrow.example:8443/robots.txt\n" +
				"User-agent: *\nAllow: /handbook/\n\nSitemap: https://larkrow.example:8443/handbook/sitemap.xml\n",
		},
		"signs that stand for others": {
			"http://larkrow.example/a*b$/é/", OpenEdition,
			"# Crawlers read these lines only if they stand in http://larkrow.example/robots.txt\n" +
				"User-agent: *\nAllow: /a%2Ab%24/%C3%A9/\n\nSitemap: http://larkrow.example/a*b$/é/sitemap.xml\n",
		},
		"for members":   {"https://members.larkrow.example/", MembersEdition, "User-agent: *\nDisallow: /\n"},
		"for the maker": {"https://larkrow.example/mine/", MakerEdition, "# Crawlers read these lines only if they stand in https://larkrow.example/robots.txt\nUser-agent: *\nDisallow: /mine/\n"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got := string(robots(test.address, test.edition))
			assert.Equal(t, test.want, got)
			for line := range strings.Lines(got) {
				assert.Regexp(t, robotsLine, strings.TrimRight(line, "\n"))
			}
		})
	}
	assert.True(t, mayRead(t, string(robots("https://larkrow.example/", OpenEdition)), "/recipes/a/index.html"))
	assert.False(t, mayRead(t, string(robots("https://larkrow.example/h/", MembersEdition)), "/h/recipes/a/index.html"))
	assert.True(t, mayRead(t, string(robots("https://larkrow.example/h/", MembersEdition)), "/other/"), "no word on what is not the handbook's")
}
