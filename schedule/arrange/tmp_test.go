package arrange

import (
	"fmt"
	"testing"
	"time"
)

func TestTmp2(t *testing.T) {
	for _, c := range []struct{ pairs, bonds, clamps int }{{1, 1, 6}, {1, 2, 6}, {1, 4, 6}, {2, 2, 6}, {2, 4, 6}, {9, 1, 6}, {9, 1, 18}, {6, 4, 12}, {6, 4, 6}} {
		p := oarLoft()
		p.Groups, p.Clamps = nil, c.clamps
		for i := range c.pairs {
			p.Groups = append(p.Groups, pairOf(fmt.Sprint("A", i), "B", c.bonds)...)
		}
		t0 := time.Now()
		a, err := Arrange(p)
		fmt.Println(c, time.Since(t0), err, a.Found, a.Exact, a.Calendar.Quarters, a.Calendar.Sittings, a.Calendar.Last, a.Notes, a.Why, a.Relaxed != nil)
		if a.Relaxed != nil {
			fmt.Println(a.Relaxed.Text, Verify(a.Relaxed.Problem, a.Calendar))
		} else {
			fmt.Println(Verify(p, a.Calendar))
		}
		if c.pairs == 9 {
			for _, x := range a.Calendar.Tasks {
				fmt.Println(x)
			}
		}
	}
}
