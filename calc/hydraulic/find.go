package hydraulic

// find gives the row of a table that is asked for, and false if there is none.
func find[T any](rows []T, is func(*T) bool) (row T, ok bool) {
	for i := range rows {
		if is(&rows[i]) {
			return rows[i], true
		}
	}
	return row, false
}
