package wording

import "fmt"

// Counted writes a number with its noun: "1 mark asks", "2 marks ask".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Plural writes a number with a noun that takes an s: "1 error", "2 errors".
func Plural(n int, noun string) string { return Counted(n, noun, noun+"s") }
