package strength

import (
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
)

// A Load is what a single try came to.
type Load struct {
	Force   quantity.Force
	Area    quantity.Area     // of the bond; 0 where its length or width is not known
	Stress  quantity.Pressure // over that area
	Bound   stat.Bound        // Exact, or AtLeast: wood or rig gave way before the bond
	Nominal bool              // over the plan's area, as nobody measured the bond
}

// OfTry returns what a single try comes to by the study's rigs and its limit of
// wood failure, just as Of would have it were it the one that counts. The life
// is nil for a code that stands for no specimen. The error says why the reading
// is no force; that of a try without a reading wraps the parser's.
func OfTry(study *tracker.Study, life *tracker.Life, try tracker.Try) (Load, error) {
	if life == nil {
		life = &tracker.Life{}
	}
	b := breaker{study: study, life: life, specimen: &Specimen{Adhesive: life.Specimen.Adhesive}}
	force, err := b.force(try)
	if err != nil {
		return Load{}, err
	}
	out := Load{Force: force, Bound: stat.AtLeast, Nominal: life.Nominal}
	if life.BondLength > 0 && life.BondWidth > 0 {
		out.Area, out.Stress = b.area(), quantity.Stress(force, b.area())
	}
	if b.wood(try); try.How == tracker.Separated && !b.woodLimited() {
		out.Bound = stat.Exact
	}
	return out, nil
}
