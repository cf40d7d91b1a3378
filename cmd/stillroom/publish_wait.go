package main

import (
	"context"
	"errors"
	"time"

	"larkrow.example/stillroom/internal/site"
)

// Two runs that publish into one folder come one after the other: the second waits.
const (
	busyEvery    = 50 * time.Millisecond // how often it is seen whether the first is done
	busyTold     = time.Second           // when it is said what is waited for
	busyPatience = 2 * time.Minute       // how long it is waited for
)

// openTree opens an output folder, once no other run has it. Where ctx ends before that, so does the waiting.
func openTree(ctx context.Context, t *talk, to string, edition site.Edition) (*site.Tree, error) {
	told := false
	for start := time.Now(); ; {
		tree, err := site.OpenTree(to, edition)
		if _, busy := errors.AsType[*site.BusyError](err); !busy || time.Since(start) > busyPatience {
			return tree, err
		}
		if !told && time.Since(start) > busyTold {
			told = true
			t.say("%s: another stillroom is publishing into it; this one waits until it is done", to)
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(busyEvery):
		}
	}
}
