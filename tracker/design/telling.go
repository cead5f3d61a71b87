package design

import (
	"math"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
)

// What is asked of a comparison before the study, in round figures. Shear of
// clear wood varies by 10 to 19 % within a species (ASTM D2555, from memory),
// glue-ups of a workshop by 10 to 25 % (common practice, no published source).
const (
	Scatter = 0.15 // coefficient of variation between specimens that is assumed
	Alpha   = 0.05 // risk of finding a difference where there is none
	Power   = 0.8  // how often a difference shall be found
	Ahead   = 0.1  // a lead that would be taken for a result
)

// A Telling says what a number of specimens can tell apart.
type Telling struct {
	Treatments []string // that have this number; none for a number that is not planned
	N, K       int      // specimens each, adhesives
	More       int      // of each than planned
	Pair       float64  // ratio of two strengths found with Power, one pair planned beforehand
	All        float64  // the same when every pair of the K is looked at, if all scatter alike
	Sure       float64  // the same surely, by their own scatter as well; 0 with one each, which never is
	ByChance   float64  // chance that of K equal adhesives the best looks Ahead of the next
}

// Tell works out what the planned numbers of specimens can tell apart, and
// what two, four and six more of each would. Where adhesives have different numbers
// the smallest counts. One adhesive has nothing to be told apart from.
func Tell(s *tracker.Study) ([]Telling, error) {
	k := bonded(s)
	if k < 2 {
		return nil, nil
	}
	var all []Telling
	most := 0
	for _, t := range s.Treatments {
		n := fewest(s, t)
		if n == 0 {
			continue
		}
		most = max(most, n)
		if i := place(all, n); i >= 0 {
			all[i].Treatments = append(all[i].Treatments, t.Key)
			continue
		}
		all = append(all, Telling{Treatments: []string{t.Key}, N: n, K: k})
	}
	if most > 0 {
		for _, more := range []int{2, 4, 6} {
			all = append(all, Telling{N: most + more, K: k, More: more})
		}
	}
	for i := range all {
		if err := all[i].work(); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func (t *Telling) work() (err error) {
	if t.Pair, err = stat.DetectableRatio(t.N, t.K, Scatter, Alpha, Power, false); err != nil {
		return err
	}
	if t.All, err = stat.DetectableRatio(t.N, t.K, Scatter, Alpha, Power, true); err != nil {
		return err
	}
	if t.N > 1 {
		if t.Sure, err = stat.SurelyDetectableRatio(t.N, t.K, Scatter, Alpha, Power); err != nil {
			return err
		}
	}
	t.ByChance, err = stat.ChanceBestLooksAhead(t.K, t.N, Ahead, Scatter)
	return err
}

func place(all []Telling, n int) int {
	for i, t := range all {
		if t.N == n {
			return i
		}
	}
	return -1
}

// bonded counts the adhesives, solid wood not among them.
func bonded(s *tracker.Study) (k int) {
	for _, a := range s.Adhesives {
		if !a.SolidWood {
			k++
		}
	}
	return k
}

// fewest is the smallest number of specimens of any adhesive in a treatment;
// adhesives that do without the treatment are not compared in it.
func fewest(s *tracker.Study, t tracker.Treatment) (n int) {
	for _, a := range s.Adhesives {
		if of := Replicates(a, t); !a.SolidWood && of > 0 && (n == 0 || of < n) {
			n = of
		}
	}
	return n
}

// Detectable are the ratios found in any pair if all scatter alike, and surely, to a
// thousandth, in the treatment with the fewest specimens; zero where there is nothing to
// tell apart, or nothing surely.
func Detectable(s *tracker.Study) (alike, sure float64) {
	all, err := Tell(s)
	if err != nil {
		return 0, 0
	}
	single := false
	for _, t := range all {
		if len(t.Treatments) > 0 {
			alike, sure, single = max(alike, t.All), max(sure, t.Sure), single || t.N == 1
		}
	}
	if single {
		sure = 0
	}
	return math.Round(alike*1000) / 1000, math.Round(sure*1000) / 1000
}

// A Price is what more specimens of each cost.
type Price struct {
	Bonds    int
	Adhesive quantity.Mass // mixed; zero where no spread is given
	Sittings int           // at the clamps, for all bonds; zero where the plan does not count its clamps
	Press    time.Duration // at the press
}

// Price is what the more of a telling cost; zero where it has none.
func (t Telling) Price(s *tracker.Study) Price {
	if t.More == 0 {
		return Price{}
	}
	p := Price{Bonds: t.More * t.K * len(s.Treatments)}
	for _, m := range AdhesiveMasses(s) {
		if m.Bonds > 0 {
			p.Adhesive += m.Mix / quantity.Mass(m.Bonds) * quantity.Mass(t.More*len(s.Treatments))
		}
	}
	if s.Specimen.Clamps > 0 {
		p.Sittings = GlueUps(SpecimenCount(s)+p.Bonds, s.Specimen.Clamps)
	}
	p.Press = time.Duration(p.Bonds) * s.Hands(schedule.Break)
	return p
}
