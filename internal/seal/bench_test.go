package seal_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// twentyKB is a page of the usual size.
func twentyKB() []byte {
	var b strings.Builder
	for i := 0; b.Len() < 20_000; i++ {
		fmt.Fprintf(&b, "<tr><th>Rose water %d</th><td>%d.%02d %%</td><td>%d g</td></tr>\n", i, i%90, i*7%100, i*13)
	}
	return []byte(b.String())
}

func BenchmarkSeal(b *testing.B) {
	k := newDoor(b, 1).ContentKey()
	plain := twentyKB()
	b.ReportAllocs()
	b.SetBytes(int64(len(plain)))
	for b.Loop() {
		sealed(b, k, page, html, plain)
	}
}

func BenchmarkSealPicture(b *testing.B) {
	k := newDoor(b, 1).ContentKey()
	plain := make([]byte, 300_000)
	b.ReportAllocs()
	b.SetBytes(int64(len(plain)))
	for b.Loop() {
		sealed(b, k, page, "image/jpeg", plain)
	}
}

func BenchmarkOpen(b *testing.B) {
	k := newDoor(b, 1).ContentKey()
	s := sealed(b, k, page, html, twentyKB())
	b.ReportAllocs()
	for b.Loop() {
		_, err := k.Open(page, html, s)
		require.NoError(b, err)
	}
}

func BenchmarkAdmit(b *testing.B) {
	d, err := seal.NewDoor(chance(1), seal.Rounds)
	require.NoError(b, err)
	c := newCode(b, chance(2))
	for b.Loop() {
		d.Admit(c)
	}
}

func BenchmarkRing(b *testing.B) {
	d := newDoor(b, 1)
	for _, n := range []int{10, 1000} {
		_, members := admit(b, d, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				ring(b, d, members...)
			}
		})
	}
}
