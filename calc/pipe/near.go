package pipe

import (
	"cmp"
	"slices"
	"strings"
)

const (
	nearNames  = 5  // how many names are offered
	nameLength = 64 // more of a name than any series has is not looked at
)

// NearSeries lists at most five ids of series that resemble a name, for a
// message to somebody who misspelt one: most words in common first, then the
// smallest edit distance, then by id. None of them is ever taken in place of
// what the caller wrote.
func NearSeries(name string) []string {
	name = asID(name)
	type candidate struct {
		id               string
		shared, distance int
	}
	var near []candidate
	for i := range allSeries {
		c := candidate{id: allSeries[i].ID}
		c.shared, c.distance = sharedWords(name, c.id), editDistance(name, c.id)
		if c.shared > 0 || 3*c.distance <= len(c.id) {
			near = append(near, c)
		}
	}
	slices.SortFunc(near, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.shared, a.shared), cmp.Compare(a.distance, b.distance), cmp.Compare(a.id, b.id))
	})
	ids := make([]string, 0, nearNames)
	for _, c := range near[:min(nearNames, len(near))] {
		ids = append(ids, c.id)
	}
	return ids
}

// asID writes a name as an id is written: "PEX SDR-9" becomes pex_sdr_9.
func asID(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r - 'A' + 'a'
		}
		return '_'
	}, name[:min(nameLength, len(name))])
}

func sharedWords(a, b string) int {
	words := strings.Split(b, "_")
	shared := 0
	for i, w := range words {
		if !slices.Contains(words[:i], w) && slices.Contains(strings.Split(a, "_"), w) {
			shared++
		}
	}
	return shared
}

// editDistance counts the bytes to insert, delete or replace (Levenshtein).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}
