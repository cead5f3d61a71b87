package labels

// Distance counts the characters to change, add or drop between two words, with
// a swap of two neighbours as one (optimal string alignment). Capitals and small
// letters differ. Of each word only the first 60 bytes are looked at, so that the
// work stays small whatever a file holds.
func Distance(a, b string) int {
	return aligned([]rune(clip(a)), []rune(clip(b)), 1, func(a, b rune) int {
		if a == b {
			return 0
		}
		return 1
	})
}

func clip(s string) string { return s[:min(len(s), 60)] }

// aligned is the optimal string alignment distance: slip is what a character too
// few, one too many or two neighbours exchanged cost, change what one in place of
// another costs.
func aligned(a, b []rune, slip int, change func(a, b rune) int) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j * slip
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i * slip
		for j := 1; j <= len(b); j++ {
			row[j] = min(last[j]+slip, row[j-1]+slip, last[j-1]+change(a[i-1], b[j-1]))
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+slip)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
