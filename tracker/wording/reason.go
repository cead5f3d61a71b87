package wording

import (
	"fmt"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/strength"
)

// Reason says why a comparison or a retention does not stand, or stands all the
// same, or what is left out of it. It is no whole sentence: no capital letter,
// no full stop.
func Reason(r strength.Reason) string { return ReasonAbout(r, strength.Party{}) }

// ReasonAbout says a reason where it is known already that it is about some
// party, and need not be said again.
func ReasonAbout(r strength.Reason, known strength.Party) string {
	who, than := party(r.Who), party(r.Than)
	of, whom := " of "+who, who
	if r.Who == known {
		of, whom = "", "it"
	}
	switch r.Kind {
	case strength.CannotTell:
		return fmt.Sprintf("cannot tell whether %s had the %s of the others", whom, r.Interval)
	case strength.Differs:
		return fmt.Sprintf("%s%s differs from the others by %s", r.Interval, of, withSign(r.Length))
	case strength.BeyondLimit:
		return fmt.Sprintf("%s%s was %s in the middle, outside its limit in %d of %d", r.Interval, of, schedule.Short(r.Length), r.N, r.Of)
	case strength.TooFarApart:
		return fmt.Sprintf("%s%s and %s lie %s apart, the plan allows %s", r.Interval, of, than, schedule.Short(r.Length), schedule.Short(r.Allowed))
	case strength.OtherAge:
		return fmt.Sprintf("%d of %d %s were broken at another age than their soaked partners", r.N, r.Of, who)
	case strength.AgeUnsure:
		return fmt.Sprintf("cannot tell whether %d of %d %s were of their soaked partners' age", r.N, r.Of, who)
	case strength.OtherRigs:
		return fmt.Sprintf("broken on different rigs: %s on %s, %s on %s", who, r.Where, than, r.ThanWhere)
	case strength.OtherStates:
		return fmt.Sprintf("broken in different states: %s %s, %s %s", who, r.Where, than, r.ThanWhere)
	case strength.SoakedLonger:
		return fmt.Sprintf("%s soaked longer (%s) and still won: the comparison stands", who, withSign(r.Length))
	case strength.PassedOver:
		return fmt.Sprintf("%d more%s %s broken %s and %s left out", r.N, of, oneOr(r.N, "was", "were"), elsewhere(r), oneOr(r.N, "is", "are"))
	}
	return tooFew(r, of)
}

// tooFew says that no interval follows.
func tooFew(r strength.Reason, of string) string {
	switch r.Kind {
	case strength.NoSurvivor:
		return "no survivor" + of
	case strength.OneSurvivor:
		return "one survivor" + of + ": no interval"
	case strength.OneBlock:
		return "all survivors" + of + " come from one bonded block: no interval"
	case strength.TooFew:
		return "too few survivors for any interval"
	case strength.NoScatter:
		return noScatter
	case strength.ZeroHasNoLimits:
		return fmt.Sprintf("%d of %d fell apart: a zero has no interval", r.N, r.Of)
	case strength.EqualReadings:
		return fmt.Sprintf("all %d%s read the same: the ratio has no limits, the other's scatter says nothing of theirs", r.N, of)
	case strength.NoneStands:
		return "no comparison with it stands; the reasons are given with the pairs below"
	}
	return fmt.Sprintf("reason %d", r.Kind)
}

const noScatter = "no scatter between the readings of any adhesive: nothing to judge a difference by"

// party names whom something is said of, by the plan's keys.
func party(p strength.Party) string {
	return strings.TrimSpace(p.Adhesive + " " + p.Treatment)
}

// elsewhere says where those passed over were broken.
func elsewhere(r strength.Reason) string {
	switch {
	case r.Rigs && r.States:
		return "on another rig or in another state"
	case r.States:
		return "in another state"
	}
	return "on another rig"
}

// withSign writes a difference of lengths of time with its sign.
func withSign(d time.Duration) string {
	if d < 0 {
		return "-" + schedule.Short(-d)
	}
	return "+" + schedule.Short(d)
}

// Unsure says why a difference is not sure; empty without a doubt.
func Unsure(d strength.Doubt) string {
	switch d.Kind {
	case strength.HidesMore:
		return fmt.Sprintf("wood or rig gave way first in %d of %d of %s, which may be the stronger bond", d.N, d.Of, d.Than)
	case strength.WithZeros:
		return fmt.Sprintf("%d of %d of %s fell apart; with these as 0 it does not stand above %s", d.N, d.Of, d.Who, d.Than)
	case strength.Reversed:
		return fmt.Sprintf("%s it is %s that stands above %s", wayIn(d.Way), d.Than, d.Who)
	case strength.IfAlike:
		return "they are apart only if all scatter alike, which " + soFew(d.N, d.Of) + " cannot show"
	case strength.MeansTurn:
		return fmt.Sprintf("%s has the higher mean and %s the higher middle: they scatter too unlike for an order", d.Than, d.Who)
	case strength.MoreFell:
		return fmt.Sprintf("%d of %d of %s fell apart, surely more than of %s, and it reads higher all the same: neither is surely better", d.N, d.Of, d.Who, d.Than)
	case strength.RiskHalved:
		return "hardly: strength and what fell apart share the risk of 5 %, and half of it is not enough"
	}
	return ""
}

// soFew are the specimens of two groups, which are too few for something.
func soFew(n, m int) string {
	if n == m {
		return inWords(n) + " each"
	}
	return "so few"
}

// PairLeftOut names a board and what kept its pair out.
func PairLeftOut(p strength.LeftOutPair) string {
	var who []string
	for _, s := range p.Who {
		who = append(who, s.Called()+" "+string(s.Outcome))
	}
	if len(who) == 0 {
		return p.Board + ": no partner broken yet"
	}
	return p.Board + ": " + strings.Join(who, ", ")
}
