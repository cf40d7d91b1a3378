package main

import (
	"errors"
	"flag"
	"io"
	"io/fs"
	"maps"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	_ "larkrow.example/stillroom/internal/golden" // has the flag -update
)

// handbooks is where the handbooks for tests lie.
const handbooks = "../../testdata/handbooks"

func TestMain(m *testing.M) {
	if part := os.Getenv(partVariable); part != "" {
		play(part, os.Args[1:])
		return
	}
	testOnlyRounds = 1000 // as in package seal's vectors; the real count runs in its example, and at the demonstration's door
	testscript.Main(apart{m}, map[string]func(){"stillroom": main})
}

// Tests that run apart have a folder of their own for what publishing leaves for the next run. What go leaves stays where it is. With the race detector,
// the command that they start is one without it.
type apart struct{ *testing.M }

func (a apart) Run() int {
	if usual, err := os.UserCacheDir(); err == nil && os.Getenv("GOCACHE") == "" {
		os.Setenv("GOCACHE", filepath.Join(usual, "go-build"))
	}
	cache, err := os.MkdirTemp("", "stillroom-cache-")
	if err == nil {
		err = os.Setenv("XDG_CACHE_HOME", cache)
	}
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(cache)
	if raced() {
		plainCommand(filepath.Join(cache, "plain"))
	}
	return a.M.Run()
}

// Each script in testdata/script is a use of the real command; its first line says what it proves. Beside the usual commands
// there are those of scriptCommands. With -update, what cmp compares with is written anew.
func TestScripts(t *testing.T) {
	update := flag.Lookup("update").Value.(flag.Getter).Get().(bool)
	books, err := filepath.Abs(handbooks)
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script", RequireExplicitExec: true, RequireUniqueNames: true, UpdateScripts: update, Cmds: scriptCommands(books),
		Setup: func(e *testscript.Env) error {
			e.Setenv("NO_COLOR", "1")
			e.Setenv("XDG_CACHE_HOME", filepath.Join(e.WorkDir, "cache"))
			return nil
		},
	})
}

// plainCommand builds the command without the race detector into a folder, and has it found there first: with it, each of some hundred starts takes
// eight times as long. What the command does in parallel is watched by the packages' own tests, and by those here that call run.
func plainCommand(dir string) {
	command := filepath.Join(dir, "stillroom")
	if runtime.GOOS == "windows" {
		command += ".exe"
	}
	if said, err := exec.Command("go", "test", "-race=false", "-c", "-o", command, ".").CombinedOutput(); err != nil {
		panic(string(said))
	}
	os.Setenv("PATH", dir+string(filepath.ListSeparator)+os.Getenv("PATH"))
}

// raced says whether this is a test with the race detector.
func raced() bool {
	info, _ := debug.ReadBuildInfo()
	return slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}

// The scripts' own commands:
//
//	handbook NAME DIR       copies a handbook for tests
//	exits CODE COMMAND …    runs a command and wants that exit code
//	edit FILE OLD NEW       replaces words that stand in a file once
//	crlf DIR                gives every text file of a handbook a byte order mark and CRLF line ends
//	[!] sametree DIR DIR    compares two folders, byte for byte
//	[!] anywhere DIR WORDS  looks for a regular expression in all files of a folder and their names
//	spoil DIR               puts a few bytes in the place of every file of a folder
//	shows FILE PATH WORDS   waits until the preview whose output goes to FILE serves a page with the words
func scriptCommands(books string) map[string]func(ts *testscript.TestScript, neg bool, args []string) {
	return map[string]func(ts *testscript.TestScript, neg bool, args []string){
		"handbook": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, !neg && len(args) == 2, "handbook NAME DIR")
			ts.Check(os.CopyFS(ts.MkAbs(args[1]), os.DirFS(filepath.Join(books, args[0]))))
		},
		"exits": exits,
		"edit": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, !neg && len(args) == 3, "edit FILE OLD NEW")
			text := ts.ReadFile(args[0])
			if n := strings.Count(text, args[1]); n != 1 {
				ts.Fatalf("%q stands %d times in %s", args[1], n, args[0])
			}
			ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o644))
		},
		"spoil": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, !neg && len(args) == 1, "spoil DIR")
			for name := range folderFiles(ts, args[0]) {
				ts.Check(os.WriteFile(filepath.Join(ts.MkAbs(args[0]), name), []byte("spoiled"), 0o600))
			}
		},
		"crlf": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, !neg && len(args) == 1, "crlf DIR")
			for name, text := range folderFiles(ts, args[0]) {
				if ext := filepath.Ext(name); ext == ".md" || ext == ".yaml" {
					text = "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")
					ts.Check(os.WriteFile(filepath.Join(ts.MkAbs(args[0]), name), []byte(text), 0o644))
				}
			}
		},
		"shows": shows,
		"anywhere": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, len(args) == 2, "anywhere DIR WORDS")
			words, found := regexp.MustCompile(args[1]), ""
			for name, text := range folderFiles(ts, args[0]) {
				if words.MatchString(name + "\n" + text) {
					found = name
				}
			}
			if (found == "") != neg {
				ts.Fatalf("%q in %s: %q", args[1], args[0], found)
			}
		},
		"sametree": func(ts *testscript.TestScript, neg bool, args []string) {
			want(ts, len(args) == 2, "sametree DIR DIR")
			if differ := differing(folderFiles(ts, args[0]), folderFiles(ts, args[1])); (differ == nil) == neg {
				ts.Fatalf("differing files: %q", differ)
			}
		},
	}
}

func want(ts *testscript.TestScript, right bool, usage string) {
	if !right {
		ts.Fatalf("usage: %s", usage)
	}
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, !neg && len(args) >= 2, "exits CODE COMMAND …")
	code, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != code {
		ts.Fatalf("exit code %d, not %d", got, code)
	}
}

// folderFiles reads a folder: path → content.
func folderFiles(ts *testscript.TestScript, dir string) map[string]string {
	files := map[string]string{}
	root := os.DirFS(ts.MkAbs(dir))
	ts.Check(fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(root, name)
		files[name] = string(raw)
		return err
	}))
	if len(files) == 0 {
		ts.Fatalf("%s is empty", dir)
	}
	return files
}

// differing names the files that only one of two folders has, or that are not the same in both.
func differing(a, b map[string]string) []string {
	differ := map[string]bool{}
	for name := range a {
		if text, there := b[name]; !there || text != a[name] {
			differ[name] = true
		}
	}
	for name := range b {
		if _, there := a[name]; !there {
			differ[name] = true
		}
	}
	return slices.Sorted(maps.Keys(differ))
}

// address finds where a preview is served in what it said.
var address = regexp.MustCompile(`http://[0-9.:]+/`)

// shows waits until a preview serves a page with some words in it.
func shows(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, !neg && len(args) == 3, "shows FILE PATH WORDS")
	last := "nothing was served"
	for range 200 {
		time.Sleep(50 * time.Millisecond)
		said, err := os.ReadFile(ts.MkAbs(args[0]))
		if err != nil || !address.Match(said) {
			continue
		}
		answer, err := http.Get(string(address.Find(said)) + args[1]) //nolint:noctx // the script ends by itself
		if err != nil {
			last = err.Error()
			continue
		}
		page, err := io.ReadAll(answer.Body)
		answer.Body.Close()
		if last = string(page); err == nil && strings.Contains(last, args[2]) {
			return
		}
	}
	ts.Fatalf("%q never stood on %s: %s", args[2], args[1], last)
}
