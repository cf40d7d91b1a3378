package site

import (
	"testing"

	"larkrow.example/stillroom/internal/handbook"
)

func BenchmarkWeighData(b *testing.B) {
	eachRecipe(b, func(s *Build, r *handbook.Recipe) { drawWeighData(s.Worked(r), s.secret) })
}
