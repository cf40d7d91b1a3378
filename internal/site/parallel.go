package site

import (
	"runtime"
	"sync"
)

// inParallel calls f for 0 to n-1 on all cores and returns when all calls have.
func inParallel(n int, f func(int)) {
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
