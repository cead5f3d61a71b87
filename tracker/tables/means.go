package tables

import (
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// resultTable lists every specimen with its strength.
func resultTable(r strength.Report) table {
	type s = strength.Specimen
	return newTable("results", "every specimen with its strength and what kind of number it is", []column[s]{
		words("code", "the printed code", func(x s) string { return x.Code }),
		words("name", "the person's own mark", func(x s) string { return string(x.Name) }),
		words("adhesive", "the plan's key", func(x s) string { return x.Adhesive }),
		words("treatment", "the plan's key", func(x s) string { return x.Treatment }),
		words("board", "block of the design", func(x s) string { return string(x.Board) }),
		words("outcome", "how it ended", func(x s) string { return string(x.Outcome) }),
		words("bound", "exact, at_least, zero or none", func(x s) string { return x.Bound.String() }),
		amount("reading", "", "what the gauge showed, in the unit of the next column", func(x s) *float64 { return x.Reading }),
		words("unit", "unit of the reading", func(x s) string { return string(x.Unit) }),
		amount("force_n", "N", "force on the bond", func(x s) *float64 { return x.ForceN }),
		amount("shear_mpa", "MPa", "shear stress at the end", func(x s) *float64 { return x.ShearMPa }),
		amount("shear_plus_minus_mpa", "MPa", "expanded uncertainty, coverage factor 2", func(x s) *float64 { return x.PlusMinus }),
		amount("wood_failure_pct", "%", "wood failure", func(x s) *float64 { return x.WoodFailure }),
		words("failure_mode", "failure mode", func(x s) string { return string(x.Mode) }),
		words("rig", "rig it was broken on", func(x s) string { return string(x.Rig) }),
		words("state", "state at break", func(x s) string { return string(x.State) }),
		truth("provisional", "not both fracture faces are read yet", func(x s) bool { return x.Provisional }),
		truth("nominal_area", "on the plan's area, not a measured one", func(x s) bool { return x.Nominal }),
		words("marks", "what a reader must know", func(x s) string { return marks(x.Marks) }),
	}, r.Specimens)
}

func marks(of []strength.Mark) string {
	var all []string
	for _, m := range of {
		all = append(all, m.Rule)
	}
	return list(all)
}

// groupTable lists the groups of adhesive, treatment, rig and state.
func groupTable(r strength.Report) table {
	return newTable("groups", "adhesive x treatment x rig x state", append(groupCounts(), groupNumbers()...), r.Groups)
}

func groupCounts() []column[strength.Group] {
	type g = strength.Group
	return []column[g]{
		words("adhesive", "the plan's key", func(x g) string { return x.Adhesive }),
		words("treatment", "the plan's key", func(x g) string { return x.Treatment }),
		words("rig", "rig", func(x g) string { return string(x.Rig) }),
		words("state", "state at break", func(x g) string { return string(x.State) }),
		count("n", "specimens: the five counts that follow, added up", func(x g) int { return x.N }),
		count("broke", "the bond broke", func(x g) int { return x.Broke }),
		count("wood_limited", "the wood broke first", func(x g) int { return x.WoodLimited }),
		count("at_least", "the rig gave way or somebody stopped first", func(x g) int { return x.AtLeast }),
		count("fell_apart", "before any load", func(x g) int { return x.FellApart }),
		count("left_out", "lost, damaged, withdrawn", func(x g) int { return x.LeftOut }),
		count("bonded_blocks", "glue-ups that survivors come from; each counts once", func(x g) int { return x.Blocks }),
		amount("wood_failure_pct", "%", "mean of those judged", func(x g) *float64 { return x.WoodFailure }),
	}
}

func groupNumbers() []column[strength.Group] {
	type g = strength.Group
	return []column[g]{
		amount("mean_mpa", "MPa", "mean, fell apart as 0", func(x g) *float64 { return x.Mean }),
		amount("sd_mpa", "MPa", "standard deviation, fell apart as 0", func(x g) *float64 { return x.SD }),
		amount("mean_survivors_mpa", "MPa", "mean of those that broke or were wood-limited", func(x g) *float64 { return x.MeanSurvivors }),
		amount("sd_survivors_mpa", "MPa", "their standard deviation", func(x g) *float64 { return x.SDSurvivors }),
		amount("low_mpa", "MPa", "lower end of their 95 % t interval", func(x g) *float64 { return x.Low }),
		amount("high_mpa", "MPa", "upper end", func(x g) *float64 { return x.High }),
		amount("fitted_mpa", "MPa", "median by maximum likelihood with lower bounds", func(x g) *float64 { return x.Fitted }),
		amount("fitted_low_mpa", "MPa", "lower profile limit", func(x g) *float64 { return x.FittedLow }),
		amount("fitted_high_mpa", "MPa", "upper profile limit", func(x g) *float64 { return x.FittedHigh }),
		amount("lower_bound_mpa", "MPa", "of the median at 95 %, where no bond broke", func(x g) *float64 { return x.LowerBound }),
		amount("fell_apart_low_pct", "%", "lower exact 95 % limit of the share that would fall apart", func(x g) *float64 { return x.FellApartLow }),
		amount("fell_apart_high_pct", "%", "upper limit", func(x g) *float64 { return x.FellApartHigh }),
		words("method", "how the numbers were made", func(x g) string { return wording.GroupMethod(x) }),
		words("warnings", "what weakens them", func(x g) string { return list(each(x.Warnings, wording.WarningInTable)) }),
		words("stragglers", "who was treated otherwise than the rest", func(x g) string { return wording.Stragglers(x.Stragglers) }),
		amount("mean_without_mpa", "MPa", "mean of survivors without them", func(x g) *float64 { return x.MeanWithout }),
		words("bound", "the true means are = or >= these", func(x g) string { return x.Estimate().Bound.Sign() }),
		words("limits_hold", "which of low_mpa and high_mpa still do: both, or low", func(x g) string { return x.Estimate().Bound.LimitsHold() }),
	}
}

// retentionTable lists strength left over strength of the control.
func retentionTable(r strength.Report) table {
	type t = strength.Retention
	return newTable("retention", "strength after a treatment over that of the control", []column[t]{
		words("adhesive", "the plan's key", func(x t) string { return x.Adhesive }),
		words("treatment", "the plan's key", func(x t) string { return x.Treatment }),
		amount("ratio", "1", "ratio of survivors' means", func(x t) *float64 { return x.Ratio }),
		amount("low", "1", "lower end of the 95 % interval", func(x t) *float64 { return x.Low }),
		amount("high", "1", "upper end", func(x t) *float64 { return x.High }),
		words("bound", "the true ratio is =, <= or >= this one, or ? where nothing is known", func(x t) string { return x.Bound.Sign() }),
		words("method", "how it was made", func(t) string { return wording.RetentionMethod }),
		amount("fieller_low", "1", "lower end of the interval on the plain scale", func(x t) *float64 { return x.FiellerLow }),
		amount("fieller_high", "1", "upper end", func(x t) *float64 { return x.FiellerHigh }),
		words("fieller_shape", "what kind of interval that is", func(x t) string { return string(x.FiellerShape) }),
		count("pairs", "boards with a survivor on both sides", func(x t) int { return x.Pairs }),
		amount("paired_ratio", "1", "geometric mean over the pairs", func(x t) *float64 { return x.PairedRatio }),
		amount("paired_low", "1", "lower end of its 95 % interval", func(x t) *float64 { return x.PairedLow }),
		amount("paired_high", "1", "upper end", func(x t) *float64 { return x.PairedHigh }),
		words("pairs_left_out", "boards left out, and why", func(x t) string { return list(each(x.PairsLeftOut, wording.PairLeftOut)) }),
		truth("comparable", "both sides were treated as planned, on one rig", func(x t) bool { return x.Comparable }),
		words("reasons", "why not, and what is left out of it", func(x t) string { return list(each(x.Reasons, wording.Reason)) }),
		words("stragglers", "who was treated otherwise than the rest of either side", func(x t) string { return wording.Stragglers(x.Stragglers) }),
		amount("ratio_without", "1", "the ratio without them", func(x t) *float64 { return x.RatioWithout }),
		amount("ratio_with_zeros", "1", "ratio of the means in which what fell apart is 0", func(x t) *float64 { return x.RatioWithZeros }),
		words("limits_hold", "which limits still do: both, low, high or none", func(x t) string { return x.Bound.LimitsHold() }),
	}, r.Retention)
}

// comparisonTable lists every two adhesives of a treatment, with the letters
// of each.
func comparisonTable(r strength.Report) table {
	type t = strength.Comparison
	return newTable("comparisons", "every two adhesives of a treatment", []column[t]{
		words("treatment", "the plan's key", func(x t) string { return x.Treatment }),
		words("a", "the plan's key of one adhesive", func(x t) string { return x.A }),
		words("b", "that of the other", func(x t) string { return x.B }),
		amount("ratio", "1", "a over b, geometric means of survivors", func(x t) *float64 { return x.Ratio }),
		amount("low", "1", "lower end of the interval for all pairs at once", func(x t) *float64 { return x.Low }),
		amount("high", "1", "upper end", func(x t) *float64 { return x.High }),
		amount("p_adjusted", "1", "probability adjusted for all pairs", func(x t) *float64 { return x.PAdjusted }),
		truth("told_apart", "by one spread for all, at 5 %", func(x t) bool { return x.ToldApart }),
		words("letters_a", "adhesives that share a letter are not told apart", func(x t) string { return r.Letters[x.Treatment][x.A] }),
		words("letters_b", "the same for b", func(x t) string { return r.Letters[x.Treatment][x.B] }),
		words("method", "how it was made", func(t) string { return wording.ComparisonMethod }),
		truth("comparable", "both were treated and broken alike", func(x t) bool { return x.Comparable }),
		words("reasons", "why not, and what is left out of it", func(x t) string { return list(each(x.Reasons, wording.Reason)) }),
		truth("sure", "surely told apart: by their own spreads too, lower bounds and what fell apart considered, at 5 %", func(x t) bool { return x.Sure }),
		amount("p_sure", "1", "the least risk at which they would be", func(x t) *float64 { return x.PSure }),
		amount("sure_low", "1", "lower end of the limits of the ratio that fit sure", func(x t) *float64 { return x.SureLow }),
		amount("sure_high", "1", "upper end", func(x t) *float64 { return x.SureHigh }),
		words("doubt", "why not sure, where something differs", func(x t) string { return wording.Unsure(x.Doubt) }),
	}, r.Comparisons)
}
