package synthetic

import "math/rand/v2"

// A stream is a kind of thing that dice are thrown for; each kind and number has dice of its own.
type stream uint64

const (
	forRecipe stream = iota + 1
	forTitle
	forIngredient
	forIngredientPage
	forNote
	forNotePage
	forPicture
)

// dice throws what chance decides, the same on every run.
type dice struct{ *rand.Rand }

func (b *book) dice(kind stream, number int) dice {
	return dice{rand.New(rand.NewPCG(b.seed, uint64(kind)<<48|uint64(number)))}
}

// chance says yes that many times in a hundred.
func (d dice) chance(percent int) bool { return d.IntN(100) < percent }

// between gives a multiple of step from low to high, in hundredths of a percent or whatever the three are in.
func (d dice) between(low, high, step int) int { return low + step*d.IntN((high-low)/step+1) }

// one gives one of some.
func one[T any](d dice, of []T) T { return of[d.IntN(len(of))] }

// some gives that many of some, all different, in their order; fewer if there are fewer.
func some[T any](d dice, count int, of []T) []T {
	var all []T
	for i, v := range of {
		if d.IntN(len(of)-i) < count-len(all) {
			all = append(all, v)
		}
	}
	return all
}
