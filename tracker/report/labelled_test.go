package report

import "testing"

// Numbers of an axis never run together, however narrow the figure and however
// long they are.
func TestAxisNumbersKeepApart(t *testing.T) {
	for _, top := range []float64{0.9, 17, 480, 4580, 99_000} {
		for _, width := range []float64{124, 148, 454} {
			s := scale{60, 60 + width, top}
			values, decimals := s.labelled(10, 12.5)
			widest := letters([]rune(fixed(values[len(values)-1], decimals))) * 12.5 * letterWidth
			if step := s.at(values[1]) - s.at(0); len(values) < 2 || step < widest {
				t.Errorf("up to %v on %v: a step of %v for numbers of %v", top, width, step, widest)
			}
		}
	}
}
