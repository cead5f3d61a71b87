package strength

// A WarningKind says what weakens a group's numbers.
type WarningKind int

// The kinds of warnings, each with the fields of a Warning that it uses.
const (
	NoMean      WarningKind = iota + 1 // no survivor
	NoSpread                           // one survivor
	WoodFirst                          // in N of Of: at least as strong as the reading
	EndedFirst                         // N of Of before the bond gave way
	Zeros                              // N of Of fell apart, and count as 0 in Mean
	TakenOut                           // N of Of were lost, damaged or withdrawn
	FacesUnread                        // N of Of are provisional
	OnNominal                          // N of Of are on nominal area
	NoStress                           // N of Of broke without a reading that gives a stress
	FewBlocks                          // survivors come from N bonded blocks
	FarBelow                           // N of Of lower bounds lie far below all that broke
	Fragile                            // fitted from N that broke and Of lower bounds
	OnlyBound                          // no bond broke: the median is at least MPa
	FewBroke                           // fewer than two bonds broke: no fit
	NoMaximum                          // the readings set no finite maximum: no fit
	Outlasted                          // N of Of bore more than the mean of survivors, unbroken: it is at least that
	NoWidth                            // all readings are equal: no limits
	NoDivision                         // and the plan gives no division of the gauge, to stand for their scatter
)

// OfFit reports whether k is about the fitted median, or the bound in its place.
func (k WarningKind) OfFit() bool { return k == FarBelow || k == Fragile || k == OnlyBound }

// A Warning says what weakens a group's numbers.
type Warning struct {
	Kind    WarningKind
	N, Of   int
	Halved  int // of N, those of which 1 of 2 halves is read
	MPa     float64
	Scatter float64 // coefficient of variation that was assumed for MPa
}

// warn says what weakens the group's numbers.
func (g *Group) warn() {
	survivors := len(g.Survivors())
	g.warnIf(survivors == 0, Warning{Kind: NoMean})
	g.warnIf(survivors == 1, Warning{Kind: NoSpread})
	g.warnCount(WoodFirst, g.WoodLimited)
	g.warnCount(EndedFirst, g.AtLeast)
	g.warnCount(Outlasted, g.Outlasting())
	g.warnIf(g.SDSurvivors != nil && g.Low == nil, Warning{Kind: NoWidth})
	g.warnIf(equal(g.Survivors()) && g.division() == 0, Warning{Kind: NoDivision})
	g.warnCount(Zeros, g.FellApart)
	g.warnCount(TakenOut, g.LeftOut)
	g.warnFaces(g.tally(func(s Specimen) bool { return s.Provisional }))
	g.warnCount(OnNominal, g.tally(func(s Specimen) bool { return s.Nominal && s.Survived() }))
	g.warnCount(NoStress, g.Broke+g.WoodLimited-survivors)
	g.warnIf(g.Blocks < len(readings(g.Survivors())), Warning{Kind: FewBlocks, N: g.Blocks})
}

func (g *Group) warnIf(when bool, w Warning) {
	if when {
		g.Warnings = append(g.Warnings, w)
	}
}

func (g *Group) warnFaces(n int) {
	g.warnIf(n > 0, Warning{Kind: FacesUnread, N: n, Of: g.N, Halved: g.tally(Specimen.HalfRead)})
}

func (g *Group) warnCount(kind WarningKind, n int) {
	g.warnIf(n > 0, Warning{Kind: kind, N: n, Of: g.N})
}
