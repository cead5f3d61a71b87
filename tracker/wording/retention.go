package wording

import (
	"fmt"
	"slices"

	"soaktag/tracker/strength"
)

// RetentionRow is the row of a retention in a text table: strength left, its
// interval, where paired the same by board with the number of pairs, and what
// stands in place of numbers. None that is not comparable is given: the reasons
// are, below.
func RetentionRow(r strength.Retention, paired bool) []string {
	left, limits, why := bounded(r.Bound, Percent(r.Ratio)), ofRatio(r.Bound, r.Low, r.High, Percent), ""
	pairs := []string{bounded(r.Bound, Percent(r.PairedRatio)), ofRatio(r.Bound, r.PairedLow, r.PairedHigh, Percent), fmt.Sprint(r.Pairs)}
	switch {
	case r.Ratio != nil && *r.Ratio == 0:
		left, limits, why, pairs = "0", "", "all fell apart", []string{"", "", ""}
	case !r.Comparable && !r.ZerosFirst():
		left, limits, why, pairs = "-", "", "not comparable, see below", []string{"", "", ""}
	case r.ZerosFirst():
		left, limits, why = bounded(r.Bound, Percent(r.RatioWithZeros)), "", "with what fell apart as 0; of those that held "+ofHeld(r)
	case r.RatioWithZeros != nil:
		why = "with what fell apart as 0: " + bounded(r.Bound, Percent(r.RatioWithZeros))
	}
	row := []string{r.Adhesive, r.Treatment, left, limits}
	if paired {
		row = append(row, pairs...)
	}
	return append(row, why)
}

// ofHeld is what those that held kept, with limits where there are any.
func ofHeld(r strength.Retention) string {
	text := bounded(r.Bound, Percent(r.Ratio))
	if limits := towards(r.Bound, r.Low, r.High, Percent); limits != "-" {
		text += " (" + limits + ")"
	}
	return text
}

// RetentionTable are the headings and rows of all retentions; by board where any
// is paired.
func RetentionTable(r strength.Report) (headings []string, rows [][]string) {
	paired := slices.ContainsFunc(r.Retention, func(ret strength.Retention) bool { return ret.Pairs > 0 })
	headings = []string{"adhesive", "treatment", ">left", "95 % interval"}
	if paired {
		headings = append(headings, ">by board", "95 % interval", ">pairs")
	}
	for _, ret := range r.Retention {
		rows = append(rows, RetentionRow(ret, paired))
	}
	return append(headings, ""), rows
}

// BesideRetention says below a table of retentions which are not comparable and
// why, who straggled, and how many fell apart beside the strength that is left: it
// is that of the survivors.
func BesideRetention(r strength.Report) (lines []string) {
	for _, ret := range r.Retention {
		for _, why := range ret.Reasons {
			lines = append(lines, fmt.Sprintf("%s %s: %s", ret.Adhesive, ret.Treatment, Reason(why)))
		}
	}
	for _, ret := range r.Retention {
		if text := KeptWithout(ret); text != "" && ret.Comparable {
			lines = append(lines, ret.Adhesive+" "+ret.Treatment+": "+text)
		}
		for _, g := range r.Groups {
			if g.Adhesive == ret.Adhesive && g.Treatment == ret.Treatment && g.FellApart > 0 && ret.Ratio != nil && *ret.Ratio > 0 {
				lines = append(lines, fmt.Sprintf("%s %s: of the survivors; %d of %d fell apart%s", g.Adhesive, g.Treatment, g.FellApart, g.N, limitsOfShare(g)))
			}
		}
	}
	return lines
}

// limitsOfShare writes the exact limits of what would fall apart of all such
// bonds.
func limitsOfShare(g strength.Group) string {
	if g.FellApartLow == nil || g.FellApartHigh == nil {
		return ""
	}
	return fmt.Sprintf(" (95 %% limits of such bonds %.0f to %.0f %%)", *g.FellApartLow, *g.FellApartHigh)
}
