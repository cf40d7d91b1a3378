package preview

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// After any operations, whoever reads again only what was named knows every file as it is.
func TestWatcherMissesNothing(t *testing.T) {
	t.Parallel()
	for seed := range uint64(3) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			dir := handbookFolder(t)
			f := followFolder(t, briskPace, dir)
			m := muddler{dir: dir, outside: t.TempDir(), rand: rand.New(rand.NewPCG(seed, 7))}
			for i := range 300 {
				m.step(i)
				if m.rand.IntN(4) == 0 {
					time.Sleep(time.Duration(m.rand.IntN(12)) * time.Millisecond)
				}
				if i%60 == 59 && !assert.Eventually(t, func() bool { return f.sees(folderText(dir)) }, watchLong, time.Millisecond) {
					names, all := f.since(0)
					t.Fatalf("after %s\nknown %v\nthere %v\nnamed %v %v", strings.Join(m.did, "\n"), f.known, folderText(dir), names, all)
				}
			}
			assert.Greater(t, f.count(), 5)
			assert.Less(t, f.alls(), f.count()/2, "most changes have names; some systems' errors, few of them, leave none")
		})
	}
}

// A muddler does things to the files of a folder, as makers, their editors and their other programs do.
type muddler struct {
	dir, outside string
	rand         *rand.Rand
	did          []string
}

// folder gives the name of one of few folders, so that they often meet.
func (m *muddler) folder() string {
	name := ""
	for range 1 + m.rand.IntN(3) {
		name = path.Join(name, string(rune('a'+m.rand.IntN(3))))
	}
	return name
}

func (m *muddler) file() string { return path.Join(m.folder(), fmt.Sprintf("%d.md", m.rand.IntN(4))) }

// step does one thing. What cannot be done, such as renaming what is not there, is no matter.
func (m *muddler) step(i int) {
	at := func(name string) string { return filepath.Join(m.dir, name) }
	file, text := m.file(), []byte(fmt.Sprintf("%03d", i))
	a, b := m.folder(), m.folder()
	what := []string{"write", "write", "write", "two steps", "over", "backup", "delete", "rename", "mkdir", "move folder", "exchange", "out", "in", "delete folder", "hide"}[m.rand.IntN(15)]
	m.did = append(m.did, fmt.Sprint(what, " ", file, " ", a, " ", b))
	_ = os.MkdirAll(filepath.Dir(at(file)), 0o755)
	switch what {
	case "write":
		_ = os.WriteFile(at(file), text, 0o644)
	case "two steps":
		_ = os.Truncate(at(file), 0)
		time.Sleep(time.Duration(m.rand.IntN(4)) * time.Millisecond)
		_ = os.WriteFile(at(file), text, 0o644)
	case "over":
		_ = os.WriteFile(at(file+".tmp"), text, 0o644)
		_ = os.Rename(at(file+".tmp"), at(file))
	case "backup":
		_ = os.Rename(at(file), at(file+"~"))
		_ = os.WriteFile(at(file), text, 0o644)
	case "delete":
		_ = os.Remove(at(file))
	case "rename":
		_ = os.Rename(at(file), at(m.file()))
	case "mkdir":
		_ = os.MkdirAll(at(a), 0o755)
		_ = os.WriteFile(at(path.Join(a, "new.md")), text, 0o644)
	case "move folder":
		_ = os.Rename(at(a), at(b))
	case "exchange":
		_ = os.Rename(at(a), at("between"))
		_ = os.Rename(at(b), at(a))
		_ = os.Rename(at("between"), at(b))
	case "out":
		_ = os.Rename(at(a), filepath.Join(m.outside, fmt.Sprint(i)))
	case "in":
		_ = os.Rename(filepath.Join(m.outside, fmt.Sprint(m.rand.IntN(i+1))), at(a))
	case "delete folder":
		_ = os.RemoveAll(at(a))
	case "hide":
		_ = os.Rename(at(a), at("_"+path.Base(a)))
		_ = os.Rename(at("_"+path.Base(b)), at(b))
	}
}
