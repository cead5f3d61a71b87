package wording

import (
	"reflect"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

var (
	casein = strength.Party{Adhesive: "CAS", Treatment: "soaked"}
	urea   = strength.Party{Adhesive: "UF", Treatment: "soaked"}
)

func TestReasons(t *testing.T) {
	met := map[strength.ReasonKind]bool{}
	for _, c := range []struct {
		reason      strength.Reason
		says, short string // short where it is known to be about casein; empty: the same
	}{
		{strength.Reason{Kind: strength.CannotTell, Who: casein, Interval: "soak"}, "cannot tell whether CAS soaked had the soak of the others", "cannot tell whether it had the soak of the others"},
		{strength.Reason{Kind: strength.Differs, Who: casein, Interval: "soak", Length: -30 * time.Hour}, "soak of CAS soaked differs from the others by -1 d 6 h", "soak differs from the others by -1 d 6 h"},
		{strength.Reason{Kind: strength.BeyondLimit, Who: casein, Interval: "wet hold", Length: 2 * time.Hour, N: 3, Of: 4}, "wet hold of CAS soaked was 2 h in the middle, outside its limit in 3 of 4", "wet hold was 2 h in the middle, outside its limit in 3 of 4"},
		{strength.Reason{Kind: strength.TooFarApart, Who: casein, Than: urea, Interval: "cure", Length: 3 * schedule.Day, Allowed: schedule.Day}, "cure of CAS soaked and UF soaked lie 3 d apart, the plan allows 1 d", "cure and UF soaked lie 3 d apart, the plan allows 1 d"},
		{strength.Reason{Kind: strength.OtherAge, Who: casein, N: 2, Of: 4}, "2 of 4 CAS soaked were broken at another age than their soaked partners", ""},
		{strength.Reason{Kind: strength.AgeUnsure, Who: casein, N: 2, Of: 4}, "cannot tell whether 2 of 4 CAS soaked were of their soaked partners' age", ""},
		{strength.Reason{Kind: strength.OtherRigs, Who: strength.Party{Adhesive: "CAS"}, Where: "press", Than: strength.Party{Adhesive: "UF"}, ThanWhere: "jig"}, "broken on different rigs: CAS on press, UF on jig", ""},
		{strength.Reason{Kind: strength.OtherStates, Who: strength.Party{Adhesive: "CAS"}, Where: "wet", Than: strength.Party{Adhesive: "UF"}, ThanWhere: "dry"}, "broken in different states: CAS wet, UF dry", ""},
		{strength.Reason{Kind: strength.NoSurvivor, Who: casein}, "no survivor of CAS soaked", "no survivor"},
		{strength.Reason{Kind: strength.OneSurvivor, Who: casein}, "one survivor of CAS soaked: no interval", "one survivor: no interval"},
		{strength.Reason{Kind: strength.OneBlock, Who: casein}, "all survivors of CAS soaked come from one bonded block: no interval", "all survivors come from one bonded block: no interval"},
		{strength.Reason{Kind: strength.TooFew}, "too few survivors for any interval", ""},
		{strength.Reason{Kind: strength.NoScatter}, "no scatter between the readings of any adhesive: nothing to judge a difference by", ""},
		{strength.Reason{Kind: strength.ZeroHasNoLimits, Who: casein, N: 3, Of: 4}, "3 of 4 fell apart: a zero has no interval", ""},
		{strength.Reason{Kind: strength.SoakedLonger, Who: strength.Party{Adhesive: "CAS"}, Length: 8 * time.Hour}, "CAS soaked longer (+8 h) and still won: the comparison stands", ""},
		{strength.Reason{Kind: strength.PassedOver, Who: casein, N: 1, Rigs: true}, "1 more of CAS soaked was broken on another rig and is left out", "1 more was broken on another rig and is left out"},
		{strength.Reason{Kind: strength.PassedOver, Who: casein, N: 2, States: true}, "2 more of CAS soaked were broken in another state and are left out", "2 more were broken in another state and are left out"},
		{strength.Reason{Kind: strength.PassedOver, Who: urea, N: 2, Rigs: true, States: true}, "2 more of UF soaked were broken on another rig or in another state and are left out", ""},
		{strength.Reason{Kind: strength.NoneStands}, "no comparison with it stands; the reasons are given with the pairs below", ""},
		{strength.Reason{Kind: strength.EqualReadings, Who: casein, N: 3}, "all 3 of CAS soaked read the same: the ratio has no limits, the other's scatter says nothing of theirs", "all 3 read the same: the ratio has no limits, the other's scatter says nothing of theirs"},
	} {
		met[c.reason.Kind] = true
		if c.short == "" {
			c.short = c.says
		}
		if long, short := Reason(c.reason), ReasonAbout(c.reason, casein); long != c.says || short != c.short {
			t.Errorf("kind %d: %q, short %q; want %q, %q", c.reason.Kind, long, short, c.says, c.short)
		}
	}
	for kind := strength.CannotTell; kind <= strength.EqualReadings; kind++ {
		if !met[kind] {
			t.Errorf("nothing is expected of kind %d", kind)
		}
	}
}

func TestDoubtsOfReadings(t *testing.T) {
	for want, d := range map[string]strength.Doubt{
		"": {},
		"wood or rig gave way first in 2 of 4 of UF, which may be the stronger bond":                                    {Kind: strength.HidesMore, Who: "RF", Than: "UF", N: 2, Of: 4},
		"1 of 4 of RF fell apart; with these as 0 it does not stand above UF":                                           {Kind: strength.WithZeros, Who: "RF", Than: "UF", N: 1, Of: 4},
		"they are apart only if all scatter alike, which three each cannot show":                                        {Kind: strength.IfAlike, Who: "RF", Than: "UF", N: 3, Of: 3},
		"they are apart only if all scatter alike, which so few cannot show":                                            {Kind: strength.IfAlike, Who: "RF", Than: "UF", N: 2, Of: 8},
		"UF has the higher mean and RF the higher middle: they scatter too unlike for an order":                         {Kind: strength.MeansTurn, Who: "RF", Than: "UF"},
		"18 of 20 of RF fell apart, surely more than of UF, and it reads higher all the same: neither is surely better": {Kind: strength.MoreFell, Who: "RF", Than: "UF", N: 18, Of: 20},
		"hardly: strength and what fell apart share the risk of 5 %, and half of it is not enough":                      {Kind: strength.RiskHalved, Who: "RF", Than: "UF"},
	} {
		if got := Unsure(d); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestWarnings(t *testing.T) {
	met := map[strength.WarningKind]bool{}
	for _, c := range []struct {
		warning     strength.Warning
		table, page string // page in inches; empty: the same
	}{
		{strength.Warning{Kind: strength.NoMean}, "no survivor: no mean of survivors", ""},
		{strength.Warning{Kind: strength.NoSpread}, "one survivor: no spread and no interval", ""},
		{strength.Warning{Kind: strength.WoodFirst, N: 2, Of: 4}, "2 of 4 wood-limited: the bond is at least as strong as its reading", ""},
		{strength.Warning{Kind: strength.EndedFirst, N: 2, Of: 4}, "2 of 4 ended before the bond gave way: left out of the mean, a lower bound only", ""},
		{strength.Warning{Kind: strength.Zeros, N: 1, Of: 4}, "1 of 4 fell apart: counted as 0 in mean_mpa, not among survivors", "1 of 4 fell apart: counted as 0 in the mean with zeros, not among survivors"},
		{strength.Warning{Kind: strength.TakenOut, N: 1, Of: 4}, "1 of 4 lost, damaged or withdrawn: left out", ""},
		{strength.Warning{Kind: strength.FacesUnread, N: 1, Of: 4}, "1 of 4 provisional: fracture faces not read yet", ""},
		{strength.Warning{Kind: strength.OnNominal, N: 1, Of: 4}, "1 of 4 on nominal area", ""},
		{strength.Warning{Kind: strength.NoStress, N: 1, Of: 4}, "1 of 4 broke without a reading that gives a stress: left out of the mean", ""},
		{strength.Warning{Kind: strength.FewBlocks, N: 1}, "survivors come from 1 bonded block: a block counts once, by its mean", ""},
		{strength.Warning{Kind: strength.FarBelow, N: 1, Of: 2}, "1 of 2 lower bounds lie far below all that broke: they say next to nothing, and count so in the fit", ""},
		{strength.Warning{Kind: strength.Fragile, N: 2, Of: 3}, "fitted from 2 that broke and 3 lower bounds: fragile, look at both means", ""},
		{strength.Warning{Kind: strength.OnlyBound, MPa: 11.92, Scatter: 0.14}, "no bond broke: of its own strength only a lower bound is known (median at least 11.9 MPa at 95 %, a scatter of 14 % assumed)",
			"no bond broke: of its own strength only a lower bound is known (median at least 1730 psi at 95 %, a scatter of 14 % assumed)"},
		{strength.Warning{Kind: strength.FewBroke}, "fewer than two bonds broke: no fit", ""},
		{strength.Warning{Kind: strength.NoMaximum}, "no fit: the readings set no finite maximum", ""},
	} {
		met[c.warning.Kind] = true
		if c.page == "" {
			c.page = c.table
		}
		if table, page := WarningInTable(c.warning), Warning(c.warning, quantity.Inch); table != c.table || page != c.page {
			t.Errorf("kind %d: %q, on a page %q", c.warning.Kind, table, page)
		}
	}
	for kind := strength.NoMean; kind <= strength.NoMaximum; kind++ {
		if !met[kind] {
			t.Errorf("nothing is expected of kind %d", kind)
		}
	}
}

func TestMarksOfAStrength(t *testing.T) {
	reading, err := quantity.ParseReading("3 MPa")
	if err != nil {
		t.Fatal(err)
	}
	recorded := tracker.Mark{Rule: "double scan", About: tracker.ReadTwice{}}
	for want, m := range map[string]strength.Mark{
		"the break has no reading that can be read: void it and enter it again with soaktag break": {Rule: strength.NoReading},
		`3 MPa is no force without the ram area of rig "press": give it in the plan`:               {Rule: strength.NoForce, Reading: reading, Rig: "press"},
		"bond length and width were not measured: the plan's nominal area is used":                 {Rule: strength.NominalArea},
		"3 MPa is over the gauge's span":                                                           {Rule: strength.OverGauge, Reading: reading},
		"3 MPa is under 15 % of the gauge's span":                                                  {Rule: strength.LowOnGauge, Reading: reading},
		"3 MPa is over 85 % of the gauge's span":                                                   {Rule: strength.HighOnGauge, Reading: reading},
		MarkText(recorded):                                                                         {Rule: "double scan", Recorded: &recorded},
	} {
		if got := StrengthMark(m); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestWaysAndChoices(t *testing.T) {
	strays := []strength.Straggler{{Interval: "soak", Verdict: schedule.Late}, {Interval: "cure", Verdict: schedule.Early}}
	for want, l := range map[string]strength.SensitivityLine{
		"survivors, wood breaks counted as breaks":            {Choice: strength.AsItStands},
		"without RF-3 (soak late, cure early)":                {Choice: strength.WithoutOne, Who: strength.Specimen{Name: "RF-3"}, Strays: strays},
		"without all 4 that drifted":                          {Choice: strength.WithoutAll, Gone: 4},
		"wood breaks dropped":                                 {Choice: strength.WithoutWood},
		"fell apart counted as 0":                             {Choice: strength.ZerosAsZero},
		"wood and rig breaks as lower bounds (fitted median)": {Choice: strength.AsBounds},
	} {
		if got := Choice(l); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for way, want := range map[strength.Way][2]string{
		strength.NoStrays:      {"without the specimens that drifted", ""},
		strength.WoodDropped:   {"wood breaks dropped", ""},
		strength.AsLowerBounds: {"wood and rig breaks as lower bounds", "by maximum likelihood"},
		strength.OwnSpreads: {"unequal spreads, Games-Howell", "every group keeps its own spread, instead of one that all share; too often wrong in small groups: " +
			"nine equal ones of three are told apart in 9 of 100 studies"},
		strength.PlainScale: {"plain scale", "differences of strengths instead of their ratios"},
		strength.ZerosIn:    {"plain scale, fell apart counted as 0", "differences of strengths, with zeros among them"},
	} {
		if got := [2]string{Way(way), WayMeans(way)}; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestCellsSayBounds(t *testing.T) {
	ratio := 0.5
	for b, want := range map[stat.Bound]string{stat.Exact: "50.0", stat.AtMost: "<= 50.0", stat.AtLeast: ">= 50.0", stat.Either: "? 50.0"} {
		if got := RetentionRow(strength.Retention{Ratio: &ratio, Bound: b, Comparable: true}, false)[2]; got != want {
			t.Errorf("%v: %q, want %q", b, got, want)
		}
	}
	if got := RetentionRow(strength.Retention{Ratio: &ratio}, true); got[2] != "-" || got[7] != "not comparable, see below" {
		t.Errorf("not comparable: %q", got)
	}
	if got := RetentionRow(strength.Retention{Ratio: new(float64)}, true); got[2] != "0" || got[7] != "all fell apart" {
		t.Errorf("nothing left: %q", got)
	}
}

// A kind of bound is worded everywhere by what stat says of it: here one that no
// reading has yet.
func TestUpperBoundsAreSaid(t *testing.T) {
	x := 8.0
	s := strength.Specimen{Adhesive: "RF", Outcome: "bent", Bound: stat.AtMost, ShearMPa: &x}
	if got := Strength(s, quantity.Metric) + "; " + Single(s, quantity.Metric); got != "bent, at most 8.00 MPa; RF (<= 8.00)" {
		t.Errorf("%q", got)
	}
}

// One bath left too long is one line for all the pairs that it spoils.
func TestPairsUnderWhatIsSaidOfThem(t *testing.T) {
	ratio, low, high, hair := 1.5, 1.2, 1.9, 1.004
	why := strength.Reason{Kind: strength.CannotTell, Who: casein, Interval: "soak"}
	aside := strength.Reason{Kind: strength.PassedOver, Who: urea, N: 1, Rigs: true}
	p := PairsOf([]strength.Comparison{
		{Treatment: "soaked", A: "CAS", B: "RF", Reasons: []strength.Reason{why}},
		{Treatment: "soaked", A: "CAS", B: "UF", Reasons: []strength.Reason{why}},
		{Treatment: "soaked", A: "RF", B: "EPX", Comparable: true, ToldApart: true, Sure: true, Ground: stat.ByValues, Ratio: &ratio, SureLow: &low, SureHigh: &high},
		{Treatment: "soaked", A: "RF", B: "CAS", Comparable: true, ToldApart: true, Sure: true, Ground: stat.ByValues, Ratio: &ratio, SureLow: &hair, SureHigh: &high},
		{Treatment: "soaked", A: "RF", B: "PVA", Comparable: true, Sure: true, Ground: stat.ByZeros, Fell: [2]stat.Share{{Of: 0, N: 8}, {Of: 6, N: 8}}},
		{Treatment: "soaked", A: "RF", B: "PUR", Comparable: true, ToldApart: true, Doubt: strength.Doubt{Kind: strength.WithZeros, Who: "RF", Than: "PUR", N: 1, Of: 4}},
		{Treatment: "soaked", A: "RF", B: "UF", Comparable: true, Reasons: []strength.Reason{aside}},
		{Treatment: "dry", A: "RF", B: "UF", Comparable: true},
		{Treatment: "dry", A: "RF", B: "EPX", Comparable: true},
	})
	want := Pairs{
		Apart: []Heading{{"soaked", []string{"RF and EPX, ratio 1.50 (1.20 to 1.90);", "RF and CAS, ratio 1.500 (1.004 to 1.900);", "RF and PVA, fell apart 0 of 8 and 6 of 8"}}},
		Together: []Heading{{"soaked: the readings differ, but 1 of 4 of RF fell apart; with these as 0 it does not stand above PUR", []string{"RF and PUR"}},
			{"soaked: 1 more of UF soaked was broken on another rig and is left out", []string{"RF and UF"}}, {"dry", []string{"RF and UF", "RF and EPX"}}},
		Refused: []Heading{{"soaked: cannot tell whether CAS soaked had the soak of the others", []string{"CAS and RF", "CAS and UF"}}},
	}
	if !reflect.DeepEqual(p, want) {
		t.Errorf("%+v, want\n%+v", p, want)
	}
}
