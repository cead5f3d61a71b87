package quantity

import (
	"strconv"
	"strings"
)

// A Ratio is the parts by mass of a mix, in the order in which they are named;
// empty for what has one part only.
type Ratio []float64

// ParseRatio reads "5:1" or "100:20:5": two to six positive numbers of parts
// by mass. Errors are *Error.
func ParseRatio(s string) (Ratio, error) {
	fail := func(problem string) (Ratio, error) {
		return nil, &Error{Kind: "ratio", Input: s, Problem: problem, Hint: `write two to six parts by mass, "5:1"`}
	}
	var ratio Ratio
	for _, part := range strings.SplitN(s, ":", 7) {
		part = strings.TrimSpace(part)
		x, err := strconv.ParseFloat(part, 64)
		if err != nil || !(x > 0) || x > 1e6 || decimalLen(part) != len(part) {
			return fail("has a part that is not a plain number")
		}
		ratio = append(ratio, x)
	}
	if len(ratio) < 2 || len(ratio) > 6 {
		return fail("does not have two to six parts")
	}
	return ratio, nil
}
