// Package spell offers the known name that a mistyped one most likely meant.
package spell

import "strings"

// Nearest gives the known name that a mistyped one most likely meant, or "" where none is near:
// at most a third of the letters may differ, a swap of neighbours counting once (optimal string alignment).
func Nearest(name string, known []string) string {
	best, least := "", len([]rune(name))/3+1
	for _, k := range known {
		if d := distance(strings.ToLower(name), strings.ToLower(k), least); d < least {
			best, least = k, d
		}
	}
	return best
}

// DidYouMean gives a hint that names the nearest known name, or else says the fallback.
func DidYouMean(name string, known []string, fallback string) string {
	if near := Nearest(name, known); near != "" {
		return "did you mean “" + near + "”?"
	}
	return fallback
}

// distance counts the edits between a and b, giving up at limit.
func distance(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if d := len(s) - len(t); d >= limit || -d >= limit {
		return limit
	}
	rows := [3][]int{make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(s); i++ {
		two, one, row := rows[0], rows[1], rows[2]
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(one[j]+1, row[j-1]+1, one[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], two[j-2]+1)
			}
		}
		rows[0], rows[1], rows[2] = one, row, two
	}
	return min(rows[1][len(t)], limit)
}
