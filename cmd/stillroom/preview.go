package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"strings"

	"larkrow.example/stillroom/internal/preview"
	"larkrow.example/stillroom/internal/site"
	"larkrow.example/stillroom/themes/linen"
)

// previewCommand shows a handbook in the browser while it is being written.
type previewCommand struct {
	Dir     string `arg:"" optional:"" default:"content" placeholder:"DIR" help:"The handbook's folder (content, if left out)."`
	Listen  string `placeholder:"ADDRESS" help:"Where to serve it: a port, or host:port. 127.0.0.1:4470 if left out, which only this computer reaches."`
	Edition string `default:"maker" placeholder:"NAME" help:"Whose pages to show: open, members, or maker (everything). If left out: maker."`
	Theme   string `placeholder:"FOLDER" help:"A folder whose files replace those of the same name in the default theme."`
}

// Help gives the long help.
func (previewCommand) Help() string {
	return `Write in any editor; each save shows in the open pages at once, with the numbers marked that changed.
A page with a problem stays as it was last good, under what is wrong. Nothing is written.

Examples:
  stillroom preview                       content/ at http://127.0.0.1:4470/
  stillroom preview my-handbook           another handbook
  stillroom preview --edition open        as everyone will see it
  stillroom preview --listen 5000         another port

Ctrl-C ends it. Exit code: 0 ended; 2 it could not be started.`
}

// Run serves the preview until it is interrupted.
func (c *previewCommand) Run(t *talk) error {
	edition, err := site.ParseEdition(c.Edition)
	if err != nil {
		return err
	}
	ctx, stop := untilInterrupted()
	defer stop()
	watcher, err := c.watch()
	if err != nil {
		return err
	}
	desk, err := preview.NewDesk(c.Dir, preview.Options{Edition: edition, Theme: c.Theme})
	if err != nil {
		return err
	}
	defer desk.Close()
	listener, note, err := preview.Listen(c.Listen)
	if err != nil {
		return err
	}
	front, err := fs.Sub(linen.Preview, "preview")
	if err != nil {
		return err
	}
	hub := preview.NewHub()
	server := preview.NewServer(desk.Now, hub, front, listener, c.Listen)
	c.greet(t, listener, note, desk.Now())
	watched := make(chan error, 1)
	go func() {
		watched <- watcher.Run(ctx, func(change preview.Change) {
			report := desk.Take(change)
			if !report.Same {
				hub.Tell(report.Event())
				t.changed(report, desk.Effects(report))
			}
		})
		stop()
	}()
	err = preview.Serve(ctx, listener, server, hub)
	stop()
	if err = errors.Join(err, <-watched); err == nil {
		t.say("ended")
	}
	return err
}

func (c *previewCommand) watch() (*preview.Watcher, error) {
	root, err := openFolder(c.Dir)
	if err != nil {
		return nil, err
	}
	if err := root.Close(); err != nil {
		return nil, err
	}
	var extra []string
	if c.Theme != "" {
		extra = []string{c.Theme}
	}
	return preview.NewWatcher(c.Dir, extra...)
}

// greet says where the preview is and what is wrong to begin with.
func (c *previewCommand) greet(t *talk, l net.Listener, note string, now *preview.State) {
	t.absent(now)
	t.standing(now.Problems)
	if note != "" {
		t.say("%s", note)
	}
	if host, _, err := net.SplitHostPort(l.Addr().String()); err == nil && !net.ParseIP(host).IsLoopback() {
		t.say("take care: other computers that reach this one can read the handbook, in the edition for %s", site.Edition(c.Edition).Readers())
	}
	fmt.Fprintf(t.out, "%s is shown at %s (Ctrl-C ends it)\n", c.Dir, strings.Join(preview.Addresses(l), " and "))
}
