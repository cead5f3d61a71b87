package wording

import (
	"fmt"
	"strings"

	"soaktag/tracker/design"
	"soaktag/tracker/learnt"
)

// Lessons says what past studies teach a plan, each figure with what it rests on.
func Lessons(l learnt.Lessons) (lines []PlanLine) {
	lines = append(lines, PlanLine{"learnt", "from " + And(l.Studies)})
	for _, s := range l.Scatters {
		lines = append(lines, PlanLine{"scatter", scatter(s, l.Studies)})
	}
	if len(l.Scatters) == 0 {
		lines = append(lines, PlanLine{"scatter", fmt.Sprintf("not known: no two specimens of one kind were broken; %s is assumed", share(design.Scatter))})
	}
	for _, f := range l.Finds {
		lines = append(lines, PlanLine{"finds", finds(f)})
	}
	var fell []string
	for _, s := range l.Shares {
		if s.Kind == learnt.FellApart {
			fell = append(fell, s.Adhesive+" "+s.Treatment+" "+seen(s, ""))
			continue
		}
		lines = append(lines, PlanLine{"spares", mishap(s)})
	}
	if len(fell) > 0 {
		lines = append(lines, PlanLine{"fell", "apart before any load: " + strings.Join(fell, ", ")})
	}
	return lines
}

// seen is a share with its limits.
func seen(s learnt.Share, noun string) string {
	return fmt.Sprintf("%d of %d%s (95 %% limits %.0f to %s)", s.X, s.N, noun, 100*s.Limits.Low, share(s.Limits.High))
}

// mishap is what went wrong how often, and what to be ready for.
func mishap(s learnt.Share) string {
	text := "lost: " + seen(s, " specimens")
	if s.Kind == learnt.RigFailed {
		text = "the rig gave way or slipped: " + seen(s, " tries")
	}
	if s.OneDay {
		text += ", all on one day: with one cause they say less than that"
	}
	return text + fmt.Sprintf("; be ready for %d of the %d planned, which is enough nine times in ten", s.Most, s.Next)
}

func share(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// scatter is one of a state: what was measured, of how much, and how sure.
func scatter(s learnt.Scatter, all []string) string {
	of := Plural(s.Readings, "bond")
	if len(s.Studies) < len(all) {
		of += " in " + And(s.Studies)
	}
	of += ", " + Counted(s.DF, "degree", "degrees") + " of freedom"
	if s.Few() && !s.Narrowed() {
		return fmt.Sprintf("%s: %s measured (%s): too few to plan by, so %s stays assumed", state(s.State), share(s.S), of, share(design.Scatter))
	}
	parts := []string{fmt.Sprintf("%s: %s measured, 95 %% limits %.0f to %s (%s); %s was assumed",
		state(s.State), share(s.S), 100*s.Limits.Low, share(s.Limits.High), of, share(design.Scatter))}
	if s.Unalike() {
		parts = append(parts, unalike(s))
	}
	if s.Narrowed() {
		parts = append(parts, narrowed(s))
	}
	return strings.Join(parts, "; ")
}

// narrowed says what wood that gave way first hides, and what is made of it.
func narrowed(s learnt.Scatter) string {
	text := fmt.Sprintf("in %d of %d the wood gave way first, which hides scatter: ", s.WoodLimited, s.Read)
	switch {
	case s.Few():
		return text + "what is left is too little to plan by"
	case s.Planned == s.Fitted:
		return text + fmt.Sprintf("%s with those as lower bounds, which is planned by", share(s.Fitted))
	}
	return text + fmt.Sprintf("%s with those as lower bounds", share(s.Fitted))
}

func unalike(s learnt.Scatter) string {
	text := "not all kinds scattered alike"
	if len(s.Apart) < 2 {
		return text + ", so the limits are rough"
	}
	var each []string
	for _, of := range s.Apart {
		each = append(each, of.Title+" "+share(of.S))
	}
	return fmt.Sprintf("%s (%s); %s is planned by", text, strings.Join(each, ", "), share(s.Planned))
}

func state(name string) string {
	if name == "" {
		return "state not given"
	}
	return "broken " + name
}

// finds is what a number of each finds apart, and what more would take.
func finds(f learnt.Finds) string {
	lead := fmt.Sprintf("%s, %d each: ", And(f.Treatments), f.N)
	if f.Scatter == nil {
		return lead + fmt.Sprintf("too little was measured %s; the figures for %s assumed stay (--full)", state(f.State), share(design.Scatter))
	}
	if f.N == 1 {
		return lead + "nothing is told apart with one; " + needs(f)
	}
	return lead + fmt.Sprintf("one pair is found %.0f times in 100 at a ratio of %.2f if %s is the scatter, of %.2f if it is the most it may be (%s, 80 %% sure), of %.2f on the whole: plan by that; %s",
		100*design.Power, f.AtS, share(f.Scatter.Planned), f.AtMost, share(f.Scatter.AtMost), f.Expected, needs(f))
}

// needs is how many of each find other ratios: to plan by, and between what. Once two of each
// find one they find every larger one.
func needs(f learnt.Finds) string {
	var parts []string
	for _, n := range f.Needs {
		text := fmt.Sprintf("%v with %s each", n.Ratio, many(n.Expect))
		if n.AtS != n.AtMost || n.AtS != n.Expect {
			text += fmt.Sprintf(" (%s to %s)", many(n.AtS), many(n.AtMost))
		}
		if parts = append(parts, text); n.Expect == 2 {
			break
		}
	}
	return strings.Join(parts, ", ")
}

// many is a number of each; none is more than are ever proposed.
func many(n int) string {
	if n == 0 {
		return "too many"
	}
	return fmt.Sprint(n)
}
