package members_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
)

// Several at once: each waits for the one before, and nobody is lost.
func TestAddAtOnce(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() { add(t, root, byte(20+i), fmt.Sprintf("Reader %d", i)) })
	}
	all.Wait()
	assert.Len(t, read(t, root.FS()).Members(), 8)
	assert.Equal(t, []string{members.KeyFile, members.ListFile}, files(t, root))
}

// One that is still there after some time is told, and left where it is.
func TestLockLeftBehind(t *testing.T) {
	root := desk(t, "")
	put(t, root, members.LockFile, "")
	then := time.Date(2026, 5, 3, 9, 30, 0, 0, time.Local)
	require.NoError(t, os.Chtimes(filepath.Join(root.Name(), members.LockFile), then, then))
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		_, err := members.Open(t.Context(), root)
		var locked *members.LockedError
		require.ErrorAs(t, err, &locked)
		assert.Equal(t, "the members' list is being changed by another command since 3 May 2026, 09:30:00", err.Error())
		assert.InDelta(t, 5*time.Second, time.Since(start), float64(time.Second))
	})
	assert.Contains(t, files(t, root), members.LockFile)
}

func TestLockIsWaitedFor(t *testing.T) {
	root := desk(t, "")
	synctest.Test(t, func(t *testing.T) {
		first := open(t, root)
		start := time.Now()
		go func() {
			time.Sleep(3 * time.Second)
			assert.NoError(t, first.Close())
		}()
		second := open(t, root)
		assert.GreaterOrEqual(t, time.Since(start), 3*time.Second)
		require.NoError(t, second.Close())
	})
}

func TestLockWaitInterrupted(t *testing.T) {
	root := desk(t, "")
	put(t, root, members.LockFile, "")
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		_, err := members.Open(ctx, root)
		assert.ErrorIs(t, err, context.DeadlineExceeded)
	})
}

// A lock that someone took away and another made anew is not taken away.
func TestLockOfAnother(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	first := open(t, root)
	require.NoError(t, root.Rename(members.LockFile, "taken-away"))
	second := open(t, root)
	require.NoError(t, first.Close())
	assert.Contains(t, files(t, root), members.LockFile)
	require.NoError(t, second.Close())
	assert.NotContains(t, files(t, root), members.LockFile)
}
