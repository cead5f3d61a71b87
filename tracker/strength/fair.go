package strength

import (
	"fmt"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// fairness gives the reasons why a group was not treated like the others of
// its study.
type fairness func(adhesive, treatment string) []unfair

// An unfair is one such reason.
type unfair struct {
	text       string
	longerSoak time.Duration // by how much longer it lay in water than the others; 0 where that is not it
}

// age is the interval in which a control follows its soaked partner.
const age = "age"

// unequal looks for differential drift out of tolerance, in every interval but
// age: that one concerns retention only.
func unequal(drift []tracker.IntervalDrift) fairness {
	return func(adhesive, treatment string) (why []unfair) {
		for _, d := range drift {
			if !d.Judged || d.Interval == age {
				continue
			}
			for _, g := range d.Groups {
				if g.Adhesive == adhesive && g.Treatment == treatment {
					why = append(why, differs(d.Interval, g)...)
				}
			}
		}
		return why
	}
}

// differs turns a differential verdict into a reason, if it is one.
func differs(interval string, g tracker.GroupDrift) []unfair {
	who := g.Adhesive + " " + g.Treatment
	switch {
	case g.Verdict == schedule.CannotTell:
		return []unfair{{text: fmt.Sprintf("cannot tell whether %s had the %s of the others", who, interval)}}
	case g.Verdict.Outside():
		u := unfair{text: fmt.Sprintf("%s of %s differs from the others by %s", interval, who, signed(g.Differential))}
		if interval == "soak" && g.Verdict == schedule.Late {
			u.longerSoak = g.Differential
		}
		return []unfair{u}
	}
	return nil
}

func signed(d time.Duration) string {
	if d < 0 {
		return "-" + schedule.Short(-d)
	}
	return "+" + schedule.Short(d)
}

// aged gives the reasons why controls are not of their soaked partners' age.
func aged(adhesive, treatment string, drift []tracker.IntervalDrift) (why []string) {
	for _, d := range drift {
		if d.Interval != age {
			continue
		}
		n, outside, unsure := ages(d, adhesive, treatment)
		if outside > 0 {
			why = append(why, fmt.Sprintf("%d of %d %s %s were broken at another age than their soaked partners", outside, n, adhesive, treatment))
		}
		if unsure > 0 {
			why = append(why, fmt.Sprintf("cannot tell whether %d of %d %s %s were of their soaked partners' age", unsure, n, adhesive, treatment))
		}
	}
	return why
}

// ages counts the broken specimens of a group, those outside tolerance and
// those of which nobody can tell.
func ages(d tracker.IntervalDrift, adhesive, treatment string) (n, outside, unsure int) {
	for _, s := range d.Specimens {
		if s.Of.Adhesive != adhesive || s.Of.Treatment != treatment || !s.Done {
			continue
		}
		n++
		switch {
		case s.Verdict.Outside():
			outside++
		case s.Verdict == schedule.CannotTell:
			unsure++
		}
	}
	return n, outside, unsure
}
