package main

import (
	"fmt"
	"runtime/debug"

	"github.com/alecthomas/kong"
)

// versionFlag tells the version in place of carrying out a command.
type versionFlag bool

// BeforeReset tells the version as soon as the flag is read, whatever else the line says.
func (versionFlag) BeforeReset(app *kong.Kong) error {
	build, ok := debug.ReadBuildInfo()
	fmt.Fprintln(app.Stdout, "stillroom", versionIn(build, ok))
	app.Exit(done)
	return nil
}

// versionIn gives the version that a program was built as: the module's, else the state of the source that it was built from.
func versionIn(build *debug.BuildInfo, ok bool) string {
	if !ok {
		return "of an unknown build"
	}
	if v := build.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	revision, changed := "", ""
	for _, s := range build.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value[:min(12, len(s.Value))]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", changed since"
		}
	}
	if revision == "" {
		return "(built from a source without a version)"
	}
	return revision + changed
}
