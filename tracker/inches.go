package tracker

import "regexp"

// bondInInches finds a plan's bond, such as bond = "1 1/2 in x 1 3/4 in".
var bondInInches = regexp.MustCompile(`\bbond\s*=\s*["'][^"'\n]*[0-9]\s*(in|ft)\b`)

// Inches reports whether who wrote the plan thinks in inches, pounds and psi:
// where it gives the bond in them. What other programs read is always metric.
func (s *Study) Inches() bool { return bondInInches.Match(s.Text) }
