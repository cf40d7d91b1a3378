// Package parallel does many like things on all cores.
package parallel

import (
	"runtime"
	"sync"
)

// Do calls f for 0 to n-1, on all cores and in no order, and returns when all calls have.
func Do(n int, f func(i int)) {
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		workers.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	workers.Wait()
}
