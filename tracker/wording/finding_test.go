package wording

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

func mpa(x float64) *float64 { return &x }

// held is a group of which all broke in the bond at one strength.
func held(key string, n int, mean float64) strength.Group {
	g := strength.Group{Adhesive: key, Treatment: "soaked", Rig: "press", State: "wet", N: n, Broke: n, Blocks: n, Mean: mpa(mean), MeanSurvivors: mpa(mean)}
	for range n {
		g.Members = append(g.Members, strength.Specimen{Adhesive: key, Treatment: "soaked", Outcome: strength.Broke, ShearMPa: mpa(mean)})
	}
	return g
}

// with changes a group.
func with(g strength.Group, change func(*strength.Group)) strength.Group {
	change(&g)
	return g
}

// strayed is a group of which some soaked 29 days instead of seven.
func strayed(g strength.Group, without *float64, who ...string) strength.Group {
	g.MeanWithout = without
	for _, w := range who {
		g.Stragglers = append(g.Stragglers, strength.Straggler{Code: w, Called: w, Interval: "soak", Verdict: schedule.Late,
			Length: 29 * schedule.Day, Usual: 7*schedule.Day + time.Hour})
	}
	return g
}

// tornIn is a group whose wood tore in so many of its members.
func tornIn(g strength.Group, n int, percent float64) strength.Group {
	for i := range n {
		g.Members[i].WoodFailure = &percent
	}
	return g
}

// every finding, as it is said of a study in MPa in which RF has a name.
var sayings = []struct {
	finding strength.Finding
	says    string
}{
	{strength.Finding{Kind: strength.Unfinished, N: 3, Of: 12}, "3 of 12 specimens are not broken yet: all this is so far"},
	{strength.Finding{Kind: strength.OneOfEach}, "one specimen of each adhesive and treatment: no scatter, no comparison, no order"},
	{strength.Finding{Kind: strength.InBoxes, Treatment: "soaked", Boxes: []strength.Boxed{{Box: strength.BoxFellApart, Who: []string{"CAS"}}, {Box: strength.BoxWoodBroke, Who: []string{"RF", "UF", "EPX"}}}},
		"soaked: fell apart: CAS; wood broke: resorcinol, UF and EPX"},
	{strength.Finding{Kind: strength.HeldBest, Treatment: "soaked", Group: tornIn(held("RF", 4, 9.05), 3, 90), Than: []string{"UF", "EPX"}},
		"soaked: resorcinol held best, mean 9.1 MPa (n 4), and mostly tore the wood (90 % wood failure in the 3 judged); told apart from UF and EPX"},
	{strength.Finding{Kind: strength.HeldBest, Treatment: "soaked", Group: held("RF", 4, 9), Than: []string{"UF"}, Alike: strength.OfBroken},
		"soaked: of those that broke, resorcinol held best, mean 9.0 MPa (n 4); told apart from UF"},
	{strength.Finding{Kind: strength.ReadHighest, Treatment: "soaked", Alike: strength.OfTreated, Than: []string{"UF"}, Ties: []string{"PVA", "EPX"},
		Group: with(held("RF", 4, 9), func(g *strength.Group) {
			g.N, g.FellApart, g.Blocks, g.Mean = 6, 2, 2, mpa(6)
			g.Members[0].Outcome = strength.WoodLimited
		})},
		"soaked: of those treated alike, resorcinol read highest, mean at least 6.0 MPa (n 6, 2 that fell apart as 0), of those that held at least 9.0 MPa from 2 bonded blocks, but cannot be told apart from PVA and EPX; told apart from UF"},
	{strength.Finding{Kind: strength.HangsOnWay, Treatment: "soaked", Group: held("RF", 4, 9), Ways: []strength.WayTold{
		{Way: strength.NoStrays, Than: []string{"UF"}}, {Way: strength.WoodDropped, Than: []string{"UF", "EPX"}}, {Way: strength.AsLowerBounds, Than: []string{"UF"}},
		{Way: strength.OwnSpreads, Than: []string{"UF"}}, {Way: strength.PlainScale, Than: []string{"UF"}}, {Way: strength.ZerosIn, Than: []string{"UF"}}}},
		"soaked: the lead of resorcinol hangs on how it is worked out: not over UF without the specimens that drifted; not over UF and EPX if wood breaks are dropped; " +
			"not over UF if wood and rig breaks are taken as \"at least\", nor if each adhesive is given its own scatter, nor by differences instead of ratios, nor by differences instead of ratios, with what fell apart as 0"},
	{strength.Finding{Kind: strength.NothingToGoBy, Treatment: "dry"}, "dry: no scatter between the readings of any adhesive: nothing to judge a difference by"},
	{strength.Finding{Kind: strength.ReadingsOnly, Treatment: "soaked", Who: []string{"RF", "UF"}, Doubt: strength.Doubt{Kind: strength.WithZeros, Who: "RF", Than: "UF", N: 3, Of: 5}},
		"soaked: resorcinol and UF: the readings of those that held differ, but 3 of 5 of resorcinol fell apart; with these as 0 it does not stand above UF"},
	{strength.Finding{Kind: strength.ReadsMore, Treatment: "soaked", Each: 3, Reads: []strength.Reading{{Who: []string{"RF"}, Than: []string{"UF"}, Least: 1.52, Most: 1.52}}},
		"soaked: resorcinol reads 1.5 times UF: apart if all scatter alike, which three each cannot show"},
	{strength.Finding{Kind: strength.ReadsMore, Treatment: "soaked", Reads: []strength.Reading{{Who: []string{"RF"}, Than: []string{"UF", "EPX"}, Least: 1.52, Most: 1.96}}},
		"soaked: resorcinol reads 1.5 to 2.0 times UF and EPX: apart if all scatter alike, which so few cannot show"},
	{strength.Finding{Kind: strength.ReadsMore, Treatment: "soaked", Each: 2, Reads: []strength.Reading{{Who: []string{"RF", "UF"}, Than: []string{"PVA"}, Least: 1.52, Most: 1.96}, {Who: []string{"RF"}, Than: []string{"EPX"}, Least: 1.3, Most: 1.3}}},
		"soaked: some read higher, but are told apart only if all scatter alike, which two each cannot show: resorcinol and UF 1.5 to 2.0 times PVA; resorcinol 1.3 times EPX"},
	{strength.Finding{Kind: strength.FellMore, Treatment: "soaked", Group: held("UF", 2, 9), Than: []string{"RF", "EPX"}, Fell: []stat.Share{{Of: 6, N: 8}, {Of: 0, N: 8}, {Of: 0, N: 7}}},
		"soaked: more of UF fell apart (6 of 8) than of resorcinol (0 of 8) and EPX (0 of 7): told apart by that"},
	{strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Sets: [][]string{{"RF", "UF", "EPX"}}, Each: 4, Hides: strength.Hidden{N: 2, Of: 12}},
		"soaked: resorcinol, UF and EPX cannot be told apart with four each: the wood gave way first in 2 of 12"},
	{strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Sets: [][]string{{"RF", "UF"}}, Each: 14, Blocks: true, Hides: strength.Hidden{N: 2, Of: 12, Rig: true}},
		"soaked: resorcinol and UF cannot be told apart with 14 bonded blocks each: wood or rig gave way first in 2 of 12"},
	{strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Sets: [][]string{{"RF", "UF"}}}, "soaked: resorcinol and UF cannot be told apart"},
	{strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Sets: [][]string{{"RF", "UF"}, {"UF", "EPX"}}, Each: 3, Hides: strength.Hidden{N: 2, Of: 9}},
		"soaked: cannot be told apart among themselves with three each: resorcinol and UF; or UF and EPX (the wood gave way first in 2 of 9)"},
	{strength.Finding{Kind: strength.Straggled, Treatment: "soaked", Group: strayed(held("EPX", 3, 9), mpa(9.5), "EPX-S2")},
		"soaked: EPX: EPX-S2 soak 29 d instead of 7 d 1 h; mean 9.0 MPa with it, 9.5 MPa without"},
	{strength.Finding{Kind: strength.Straggled, Treatment: "soaked", Group: strayed(held("EPX", 2, 9), nil, "EPX-S1", "EPX-S2")},
		"soaked: EPX: EPX-S1 soak 29 d instead of 7 d 1 h, EPX-S2 soak 29 d instead of 7 d 1 h"},
	{strength.Finding{Kind: strength.HeldBest, Treatment: "soaked", Group: strayed(held("RF", 6, 9), mpa(9.5), "1", "2", "3", "4"), Than: []string{"UF"}},
		"soaked: resorcinol held best, mean 9.0 MPa (n 6), 9.5 MPa without 4 of them; told apart from UF"},
	{strength.Finding{Kind: strength.HeldLess, Treatment: "soaked", Group: held("EPX", 3, 2.5), Than: []string{"UF"}}, "soaked: EPX, mean 2.5 MPa (n 3), held less than UF"},
	{strength.Finding{Kind: strength.DoesNotStand, Treatment: "soaked", Group: held("EPX", 3, 2), Reason: strength.Reason{Kind: strength.CannotTell, Who: strength.Party{Adhesive: "EPX", Treatment: "soaked"}, Interval: "cure"}},
		"soaked: EPX: its comparison does not stand: cannot tell whether EPX soaked had the cure of the others"},
	{strength.Finding{Kind: strength.LongerSoak, Treatment: "soaked", Group: held("EPX", 3, 2), Reason: strength.Reason{Kind: strength.Differs, Interval: "soak", Length: 30 * time.Hour}},
		"soaked: EPX soaked 1 d 6 h longer than the others, so its comparison does not stand"},
	{strength.Finding{Kind: strength.LongerSoak, Treatment: "soaked", Group: held("EPX", 3, 2), Than: []string{"RF", "UF"}, Reason: strength.Reason{Kind: strength.Differs, Interval: "soak", Length: 30 * time.Hour}},
		"soaked: EPX soaked 1 d 6 h longer than the others and still came out above resorcinol and UF: that stands, any other comparison with it does not"},
	{strength.Finding{Kind: strength.NoComparison, Treatment: "soaked", Group: held("RF", 1, 9), Reason: strength.Reason{Kind: strength.OneSurvivor, Who: strength.Party{Treatment: "soaked"}}},
		"soaked: resorcinol cannot be compared: one survivor of soaked: no interval"},
	{strength.Finding{Kind: strength.NotCompared, Treatment: "soaked", Group: held("UF", 3, 4), Other: held("RF", 3, 9), Reason: strength.Reason{Kind: strength.TooFarApart, Interval: "clamp",
		Who: strength.Party{Adhesive: "UF", Treatment: "soaked"}, Than: strength.Party{Adhesive: "RF", Treatment: "soaked"}, Length: 23 * time.Hour, Allowed: 12 * time.Hour}},
		"soaked: UF is not compared with resorcinol: clamp of UF soaked and RF soaked lie 23 h apart, the plan allows 12 h"},
	{strength.Finding{Kind: strength.LeftAside, Treatment: "soaked", Reason: strength.Reason{Kind: strength.PassedOver, Who: strength.Party{Adhesive: "RF", Treatment: "soaked"}, N: 1, Rigs: true}},
		"soaked: 1 more of RF soaked was broken on another rig and is left out"},
	{strength.Finding{Kind: strength.BrokenElsewhere, Treatment: "soaked", Group: with(held("UF", 2, 4), func(g *strength.Group) { g.Rig, g.State = "jig", "dry" }), Other: held("RF", 3, 9)},
		"soaked: UF, mean 4.0 MPa (n 2), was broken on jig dry, not like the others on press wet: not compared with them"},
	{strength.Finding{Kind: strength.NotBroken, Treatment: "soaked", Group: strength.Group{Adhesive: "RF"}, N: 3, Of: 4, MPa: 14.04},
		"soaked: resorcinol: the rig gave way or stopped first in 3 of 4, the highest at 14.0 MPa: it has no place in the order and may be the strongest"},
	{strength.Finding{Kind: strength.NothingLeft, Treatment: "dry", Group: strength.Group{Adhesive: "RF"}, N: 3}, "dry: resorcinol: nothing left to break, 3 lost, damaged or withdrawn"},
	{strength.Finding{Kind: strength.FellApartFirst, Treatment: "soaked", Group: strength.Group{Adhesive: "CAS"}, N: 3, Of: 3}, "soaked: CAS: all 3 fell apart before any load"},
	{strength.Finding{Kind: strength.FellApartFirst, Treatment: "soaked", Group: strength.Group{Adhesive: "CAS"}, N: 1, Of: 1}, "soaked: CAS: 1 of 1 fell apart before any load"},
	{strength.Finding{Kind: strength.FellApartFirst, Treatment: "soaked", Group: strength.Group{Adhesive: "CAS", Mean: mpa(1.7), MeanSurvivors: mpa(2.26)}, N: 1, Of: 4},
		"soaked: CAS: 1 of 4 fell apart before any load (mean of the others 2.3 MPa, with the zeros 1.7 MPa)"},
	{strength.Finding{Kind: strength.OtherLength, Interval: "cure", Planned: 14 * schedule.Day, Length: 16*schedule.Day + 12*time.Hour},
		"cure: 16.5 d for all instead of 14 d: the ranking stands, the name of the plan does not"},
	{strength.Finding{Kind: strength.NotAlike, Interval: "clamp", Planned: 24 * time.Hour, Length: 20 * time.Hour, Longest: 3 * schedule.Day},
		"clamp: not as planned (1 d) and not alike: the groups went from 20 h to 3 d"},
	{strength.Finding{Kind: strength.FacesToCome, N: 2, Of: 8, Halved: 1}, "2 of 8 are provisional: what tore is as judged at the press, the dry faces are not read yet (of 1 of them 1 of 2 halves read)"},
	{strength.Finding{Kind: strength.FacesToCome, N: 2, Of: 8}, "2 of 8 are provisional: what tore is as judged at the press, the dry faces are not read yet"},
}

var named = &tracker.Study{Adhesives: []tracker.Adhesive{{Key: "RF", Name: "resorcinol"}, {Key: "UF"}}}

func TestFindings(t *testing.T) {
	met := map[strength.FindingKind]bool{}
	for _, c := range sayings {
		met[c.finding.Kind] = true
		if got := Finding(c.finding, named); got != c.says {
			t.Errorf("kind %d\n%q, want\n%q", c.finding.Kind, got, c.says)
		}
	}
	for kind := strength.Unfinished; kind <= strength.FacesToCome; kind++ {
		if !met[kind] {
			t.Errorf("nothing is expected of kind %d", kind)
		}
	}
}

// Where it is known what a finding is about, it need not say so.
func TestAFindingWithoutItsTreatment(t *testing.T) {
	f := strength.Finding{Kind: strength.FellApartFirst, Treatment: "soaked", Group: strength.Group{Adhesive: "RF"}, N: 2, Of: 2}
	if got, want := FindingSays(f, named), "resorcinol: all 2 fell apart before any load"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A plan in inches hears psi.
func TestFindingsInInches(t *testing.T) {
	inches := &tracker.Study{Units: quantity.Inch}
	f := strength.Finding{Kind: strength.NotBroken, Treatment: "soaked", Group: strength.Group{Adhesive: "RF"}, N: 3, Of: 4, MPa: 14.04}
	if got := Finding(f, inches); !strings.Contains(got, "the highest at 2036 psi:") {
		t.Errorf("%q", got)
	}
}
