package wording

import (
	"fmt"
	"strings"

	"soaktag/tracker/strength"
)

// How numbers were made, as tables and pages name it.
const (
	RetentionMethod  = "ratio of survivors' means, log interval, Welch"
	ComparisonMethod = "survivors on the log scale, Tukey-Kramer, 95 %"
)

// GroupMethod says how the numbers of a group were made, by the names of their
// columns.
func GroupMethod(g strength.Group) string {
	text := "mean of survivors with 95 % t interval; fell apart counted as 0 in mean_mpa"
	if g.Fitted == nil {
		return text
	}
	scale := "log"
	if g.PlainScale {
		scale = "plain"
	}
	return text + fmt.Sprintf("; fitted_mpa: median by maximum likelihood on the %s scale, %d lower bounds, profile limits at n ln(1 + t2/(n-1)), a bound counted as what it tells", scale, g.FitBounds)
}

// Way names another way of working a comparison out.
func Way(w strength.Way) string {
	switch w {
	case strength.NoStrays:
		return "without the specimens that drifted"
	case strength.WoodDropped:
		return "wood breaks dropped"
	case strength.AsLowerBounds:
		return "wood and rig breaks as lower bounds"
	case strength.OwnSpreads:
		return "unequal spreads, Games-Howell"
	case strength.ZerosIn:
		return "plain scale, fell apart counted as 0"
	}
	return "plain scale"
}

// WayMeans says what a way is where its name does not; else empty.
func WayMeans(w strength.Way) string {
	switch w {
	case strength.OwnSpreads:
		return "every group keeps its own spread, instead of one that all share; too often wrong in small groups: " +
			"nine equal ones of three are told apart in 9 of 100 studies"
	case strength.ZerosIn:
		return "differences of strengths, with zeros among them"
	case strength.PlainScale:
		return "differences of strengths instead of their ratios"
	case strength.AsLowerBounds:
		return "by maximum likelihood"
	}
	return ""
}

// wayIn says a way as a sentence needs it.
func wayIn(w strength.Way) string {
	switch w {
	case strength.NoStrays:
		return "without the specimens that drifted"
	case strength.WoodDropped:
		return "if wood breaks are dropped"
	case strength.AsLowerBounds:
		return `if wood and rig breaks are taken as "at least"`
	case strength.OwnSpreads:
		return "if each adhesive is given its own scatter"
	case strength.ZerosIn:
		return "by differences instead of ratios, with what fell apart as 0"
	}
	return "by differences instead of ratios"
}

// Choice says in which way the mean of a group was worked out.
func Choice(l strength.SensitivityLine) string {
	switch l.Choice {
	case strength.WithoutOne:
		var where []string
		for _, s := range l.Strays {
			how := s.Verdict.String()
			if !s.Verdict.Outside() { // it kept the plan, and its group did not
				how = "unlike the rest"
			}
			where = append(where, s.Interval+" "+how)
		}
		return fmt.Sprintf("without %s (%s)", l.Who.Called(), strings.Join(where, ", "))
	case strength.WithoutAll:
		return fmt.Sprintf("without all %d that drifted", l.Gone)
	case strength.WithoutWood:
		return "wood breaks dropped"
	case strength.ZerosAsZero:
		return "fell apart counted as 0"
	case strength.AsBounds:
		return "wood and rig breaks as lower bounds (fitted median)"
	}
	return "survivors, wood breaks counted as breaks"
}
