package report

import "strings"

// suggestLimitRunes is the longest word that is compared, in runes. Longer
// ones are not slips of the finger, and the comparison costs the square.
const suggestLimitRunes = 64

// Suggest returns the candidate nearest to word, or "" when none is near. Near
// means at most one slip (a letter added, lost, changed, or two neighbours
// exchanged) for every three letters of the longer of the two, and at least one.
// Differences of case, blanks, underscores and hyphens do not count. Of equally near candidates the
// first wins, so sorted candidates give a stable answer. The word itself is
// never suggested.
func Suggest(word string, candidates []string) string {
	folded := fold(word)
	if len(folded) == 0 || len(folded) > suggestLimitRunes {
		return ""
	}
	best, bestSlips := "", -1
	for _, candidate := range candidates {
		target := fold(candidate)
		if candidate == word || len(target) == 0 || len(target) > suggestLimitRunes {
			continue
		}
		allowed := max(1, max(len(folded), len(target))/3)
		n := slips(folded, target)
		if n > allowed || n >= min(len(folded), len(target)) && n > 0 {
			continue
		}
		if bestSlips < 0 || n < bestSlips {
			best, bestSlips = candidate, n
		}
	}
	return best
}

// fold removes the differences that Suggest ignores.
func fold(s string) []rune {
	s = strings.ToLower(s)
	s = strings.Map(func(r rune) rune {
		if r == '-' || r == '_' || r == ' ' {
			return -1
		}
		return r
	}, s)
	return []rune(s)
}

// slips counts the least number of single slips that turn a into b (the
// optimal string alignment distance).
func slips(a, b []rune) int {
	before := make([]int, len(b)+1)
	above := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
