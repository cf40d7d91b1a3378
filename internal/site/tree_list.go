package site

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
)

// manifestFile lists every file that this tool wrote into an output folder, with the SHA-256 of its bytes.
const manifestFile = ".stillroom.json"

// journalFile says for which edition a build is about to put files in place, and has a line for each, hash and path: by it the next build
// knows a killed one's files as ours.
const journalFile = scratchFolder + "/journal"

// editionLine begins the journal's first line.
const editionLine = "edition "

type manifest struct {
	Schema  int               `json:"schema"`
	Edition Edition           `json:"edition"`
	Files   map[string]string `json:"files"`
}

func (t *Tree) readManifest() error {
	raw, err := t.root.ReadFile(manifestFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("read the list of files written: %w", err)
	}
	var m manifest
	if err := json.Unmarshal(raw, &m); err != nil || m.Schema != 1 {
		return fmt.Errorf("the list of files written, %s in %s, cannot be read; restore it, or build into an empty folder", manifestFile, t.name)
	}
	if err := t.mustBe(m.Edition); err != nil {
		return err
	}
	t.listed = true
	for file, text := range m.Files {
		if fs.ValidPath(file) {
			t.finished[file], _ = parseDigest(text) // what is no hash is that of no file
		}
	}
	return nil
}

// mustBe refuses an edition that is not the tree's.
func (t *Tree) mustBe(found Edition) error {
	if found == t.edition {
		return nil
	}
	return fmt.Errorf("%s holds the edition for %s, not for %s: choose another folder with --to", t.name, found.Readers(), t.edition.Readers())
}

// marshalManifest writes the list of some files.
func (t *Tree) marshalManifest(files map[string]digest) ([]byte, error) {
	texts := make(map[string]string, len(files))
	for file, hash := range files {
		texts[file] = hash.String()
	}
	raw, err := json.MarshalIndent(manifest{Schema: 1, Edition: t.edition, Files: texts}, "", " ")
	return append(raw, '\n'), err
}

// readJournal adds what killed builds put in place. The last line may have been cut off: nothing had been put in place yet then.
func (t *Tree) readJournal() error {
	raw, err := t.root.ReadFile(journalFile)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("read what an interrupted build wrote: %w", err)
	}
	for line := range strings.Lines(string(raw)) {
		if edition, says := strings.CutPrefix(line, editionLine); says && strings.HasSuffix(edition, "\n") {
			if err := t.mustBe(Edition(strings.TrimSuffix(edition, "\n"))); err != nil {
				return err
			}
		}
		text, file, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		hash, ok := parseDigest(text)
		if ok && strings.HasSuffix(line, "\n") && fs.ValidPath(file) && !t.mayHave(file, hash) {
			t.killed[file] = append(t.killed[file], hash)
		}
	}
	return nil
}

// marshalJournal lists what this build is about to put in place, and what killed ones may have.
func (t *Tree) marshalJournal() []byte {
	var all bytes.Buffer
	fmt.Fprintf(&all, "%s%s\n", editionLine, t.edition)
	for _, file := range t.changed {
		fmt.Fprintf(&all, "%s %s\n", t.written[file], file)
	}
	for _, file := range slices.Sorted(maps.Keys(t.killed)) {
		for _, hash := range t.killed[file] {
			fmt.Fprintf(&all, "%s %s\n", hash, file)
		}
	}
	return all.Bytes()
}
