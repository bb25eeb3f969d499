package strict

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// Suggest returns a hint for a word that is none of those allowed: the nearest
// of them, or all of them after the lead.
func Suggest(word string, allowed []string, lead string) string {
	if nearest, ok := Nearest(word, allowed); ok {
		return "did you mean " + measure.Quote(nearest) + "?"
	}
	if len(allowed) == 0 {
		return ""
	}
	return lead + " " + strings.Join(allowed, ", ")
}

// mostHint is how long a hint may be that lists what is allowed: two lines of a terminal.
const mostHint = 150

// SuggestKey is Suggest for a key: where all of those allowed are too many to be read, the
// nearest few of them, and where all of them are listed. A key with its value behind it lacks
// a colon.
func SuggestKey(word string, allowed []string, lead string) string {
	key := ""
	for _, a := range allowed {
		if strings.HasPrefix(word, a+" ") && len(a) > len(key) {
			key = a
		}
	}
	if key != "" {
		return "write a colon after the key: " + measure.Quote(key+":"+word[len(key):])
	}
	hint := Suggest(word, allowed, lead)
	if len(hint) <= mostHint {
		return hint
	}
	w, near := normalize(word), slices.Clone(allowed)
	w = w[:min(len(w), maxLength)]
	slices.SortStableFunc(near, func(a, b string) int {
		return editDistance(w, normalize(a)) - editDistance(w, normalize(b))
	})
	return fmt.Sprintf("the nearest of %d keys are %s; dishwright explain lists all", len(near), strings.Join(near[:5], ", "))
}

// maxLength is how much of a word is looked at: no allowed one is longer.
const maxLength = 40

// Nearest returns the allowed word that takes the fewest changes to become the
// given one, the first of several. It is false where none is near: more than a
// third of the letters would change (in a word of up to three letters more than
// one), more than three, or all of them. Letter case, and _ or - for a blank,
// are no change.
func Nearest(word string, allowed []string) (string, bool) {
	if len(word) > maxLength {
		return "", false
	}
	w := normalize(word)
	nearest, fewest := "", 4
	for _, a := range allowed {
		f := normalize(a)
		if len(f) > maxLength {
			continue
		}
		if d := editDistance(w, f); d < fewest && d < max(len(w), len(f)) && 3*d <= max(len(f), 3) {
			nearest, fewest = a, d
		}
	}
	return nearest, nearest != ""
}

// normalize makes alike what a person takes for the same word.
func normalize(s string) []rune {
	return []rune(strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(s)))
}

// editDistance counts the letters to insert, drop, change or swap with their
// neighbour to make a into b (optimal string alignment).
func editDistance(a, b []rune) int {
	beforeLast, last, current := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		current[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			current[j+1] = min(last[j+1]+1, current[j]+1, last[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				current[j+1] = min(current[j+1], beforeLast[j-1]+1)
			}
		}
		beforeLast, last, current = last, current, beforeLast
	}
	return last[len(b)]
}
