package members_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
)

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{10, 1000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			root := desk(b, "")
			all := make([]string, n)
			for i := range all {
				all[i] = "Reader " + strconv.Itoa(i)
			}
			add(b, root, 5, all...)
			b.ReportAllocs()
			for b.Loop() {
				_, problems := members.Read(root.FS())
				require.NoError(b, problems.Err())
			}
		})
	}
}
