// Package valid asks the Nu Html Checker in tests whether pages and style sheets keep to the standards.
package valid

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// The variables that name the checker's vnu.jar (https://validator.github.io/validator/, which runs in Java 11 or later), and that turn
// its absence from a skipped test into a failed one.
const (
	jarIn  = "STILLROOM_VNU"
	needed = "STILLROOM_NEED_VNU"
)

// ofOtherLevel matches what the checker says of properties that it knows, but not in the set of them that it goes by. Among these is
// writing-mode, of the W3C Recommendation CSS Writing Modes Level 3.
var ofOtherLevel = regexp.MustCompile(`^CSS: “[a-z-]+”: Property “[a-z-]+” doesn.t exist in “[^”]+” but exists in “`)

// Files gives everything that the checker says, warnings too, of the pages and style sheets in some files and folders: none where all keep
// to the HTML standard, ARIA and CSS. The test is skipped where STILLROOM_VNU does not name a vnu.jar, and fails with STILLROOM_NEED_VNU=1.
func Files(t testing.TB, paths ...string) []string {
	t.Helper()
	jar := os.Getenv(jarIn)
	if jar == "" {
		message := "NOT TESTED: " + jarIn + " names no vnu.jar (npm pack vnu-jar, in it build/dist/vnu.jar), and so no page is checked"
		if os.Getenv(needed) == "1" {
			t.Fatal(message)
		}
		t.Skip(message + " (" + needed + "=1 makes this a failure)")
	}
	run := exec.CommandContext(t.Context(), "java", append([]string{"-Xss8m", "-jar", jar, "--stdout", "--format", "json", "--exit-zero-always", "--skip-non-html", "--also-check-css"}, paths...)...)
	said, err := run.Output()
	if failed, ok := errors.AsType[*exec.ExitError](err); ok {
		t.Fatalf("the checker did not run: %v\n%s", err, failed.Stderr)
	}
	require.NoError(t, err)
	var report struct {
		Messages []struct {
			Type, URL, Message, Extract string
			FirstLine, LastLine         int
		}
	}
	require.NoError(t, json.Unmarshal(said, &report), "%s", said)
	var all []string
	for _, m := range report.Messages {
		if ofOtherLevel.MatchString(m.Message) {
			continue
		}
		all = append(all, fmt.Sprintf("%s:%d: %s: %s in %q", m.URL, max(m.FirstLine, m.LastLine), m.Type, m.Message, m.Extract))
	}
	return all
}
