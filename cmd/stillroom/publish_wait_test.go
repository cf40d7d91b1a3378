package main

import (
	"bytes"
	"context"
	"os"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/site"
)

// A folder that another run has is waited for, it is said after a second, and once.
func TestPublishWaits(t *testing.T) {
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		first, err := site.OpenTree(dir, site.OpenEdition)
		require.NoError(t, err)
		start := time.Now()
		go func() {
			time.Sleep(time.Minute)
			assert.NoError(t, first.Close())
		}()
		var said bytes.Buffer
		second, err := openTree(t.Context(), &talk{err: &said}, dir, site.OpenEdition)
		require.NoError(t, err)
		assert.InDelta(t, time.Minute, time.Since(start), float64(time.Second))
		assert.Equal(t, dir+": another stillroom is publishing into it; this one waits until it is done\n", said.String())
		require.NoError(t, second.Close())
	})
}

// One that is done within a second is not spoken of.
func TestPublishWaitsQuietly(t *testing.T) {
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		first, err := site.OpenTree(dir, site.OpenEdition)
		require.NoError(t, err)
		go func() {
			time.Sleep(time.Second / 2)
			assert.NoError(t, first.Close())
		}()
		var said bytes.Buffer
		second, err := openTree(t.Context(), &talk{err: &said}, dir, site.OpenEdition)
		require.NoError(t, err)
		assert.Empty(t, said.String())
		require.NoError(t, second.Close())
	})
}

// One that is never done is not waited for for ever.
func TestPublishGivesUp(t *testing.T) {
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		first, err := site.OpenTree(dir, site.OpenEdition)
		require.NoError(t, err)
		start := time.Now()
		_, err = openTree(t.Context(), &talk{err: &bytes.Buffer{}}, dir, site.OpenEdition)
		var busy *site.BusyError
		require.ErrorAs(t, err, &busy)
		assert.EqualError(t, err, "another stillroom is publishing into "+dir+": wait until it is done, or choose another folder with --to")
		assert.InDelta(t, 2*time.Minute, time.Since(start), float64(time.Second))
		require.NoError(t, first.Close())
	})
}

// Two folders do not wait for one another, and what is wrong with a folder is not waited for either.
func TestPublishElsewhere(t *testing.T) {
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		var all []*site.Tree
		for _, name := range []string{"open", "members"} {
			tree, err := openTree(t.Context(), &talk{err: os.Stderr}, dir+"/"+name, site.Edition(name))
			require.NoError(t, err)
			all = append(all, tree)
		}
		for _, tree := range all {
			require.NoError(t, tree.Close())
		}
		require.NoError(t, os.WriteFile(dir+"/taken", nil, 0o644))
		_, err := openTree(t.Context(), &talk{err: os.Stderr}, dir+"/taken", site.OpenEdition)
		require.Error(t, err)
		assert.Zero(t, time.Since(start))
	})
}

// Whoever waits can be interrupted.
func TestPublishWaitInterrupted(t *testing.T) {
	dir := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		first, err := site.OpenTree(dir, site.OpenEdition)
		require.NoError(t, err)
		ctx, stop := context.WithCancel(t.Context())
		start := time.Now()
		time.AfterFunc(time.Minute, stop)
		_, err = openTree(ctx, &talk{err: &bytes.Buffer{}}, dir, site.OpenEdition)
		require.ErrorIs(t, err, context.Canceled)
		assert.Equal(t, time.Minute, time.Since(start))
		require.NoError(t, first.Close())
	})
}
