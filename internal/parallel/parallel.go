// Package parallel does many like things on all cores.
package parallel

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Do calls f for 0 to n-1, on all cores and in no order, and returns when all calls have.
func Do(n int, f func(i int)) {
	var next atomic.Int64
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		workers.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				f(int(i))
			}
		})
	}
	workers.Wait()
}
