package parallel_test

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/parallel"
)

func TestDo(t *testing.T) {
	t.Parallel()
	for _, n := range []int{0, 1, 2, 1000} {
		calls := make([]atomic.Int32, n)
		parallel.Do(n, func(i int) { calls[i].Add(1) })
		for i := range calls {
			assert.Equal(t, int32(1), calls[i].Load(), "%d of %d", i, n)
		}
	}
}
