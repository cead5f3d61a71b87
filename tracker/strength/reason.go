package strength

import "time"

// A Party is whom something is said of: the specimens of an adhesive, of a
// treatment, or of both, by the plan's keys. The one that goes without saying
// is empty.
type Party struct{ Adhesive, Treatment string }

// party is whom a group is.
func (g Group) party() Party { return Party{g.Adhesive, g.Treatment} }

// A ReasonKind says what kind of reason it is.
type ReasonKind int

// The kinds of reasons, each with the fields of a Reason that it uses besides
// Who.
const (
	CannotTell      ReasonKind = iota + 1 // whether Who had the Interval of the others
	Differs                               // Who differs from the others in Interval, by Length
	BeyondLimit                           // Interval of Who, Length in the middle, was outside its limit in N of Of
	TooFarApart                           // Who and Than lie Length apart in Interval, Allowed is allowed
	OtherAge                              // N of Of were broken at another age than their soaked partners
	AgeUnsure                             // of N of Of nobody can tell
	OtherRigs                             // Who was broken on Where, Than on ThanWhere
	OtherStates                           // Who was broken in the state Where, Than in ThanWhere
	NoSurvivor                            // no interval follows from none
	OneSurvivor                           // nor from one
	OneBlock                              // nor from several sawn from one bonded block
	TooFew                                // of all together
	NoScatter                             // nothing to judge a difference by
	ZeroHasNoLimits                       // N of Of fell apart, and nothing else is left
	SoakedLonger                          // by Length, and Who won all the same: the comparison stands
	PassedOver                            // N more were broken on another rig (Rigs) or in another state (States)
	NoneStands                            // no comparison with it does
	EqualReadings                         // all N of Who read the same: no limits
)

// A Reason says why a comparison or a retention does not stand, or stands all
// the same, or what is left out of it. Two that say the same are equal.
type Reason struct {
	Kind             ReasonKind
	Who, Than        Party
	Interval         string
	Length, Allowed  time.Duration
	N, Of            int
	Where, ThanWhere Text
	Rigs, States     bool
}

// few says why so few survivors give no interval.
func few(survivors []Specimen, who Party) Reason {
	switch len(survivors) {
	case 0:
		return Reason{Kind: NoSurvivor, Who: who}
	case 1:
		return Reason{Kind: OneSurvivor, Who: who}
	}
	return Reason{Kind: OneBlock, Who: who}
}

// passedOver says of the groups that are compared how many specimens of their
// adhesive and treatment are not in them, because they were broken on another
// rig or in another state. The comparison stands, without them.
func passedOver(all []Group, compared ...Group) (notes []Reason) {
	for _, g := range compared {
		r := Reason{Kind: PassedOver, Who: g.party()}
		for _, other := range of(all, g.Adhesive, g.Treatment) {
			if other.Rig != g.Rig || other.State != g.State {
				r.N += other.N
				r.Rigs, r.States = r.Rigs || other.Rig != g.Rig, r.States || other.State != g.State
			}
		}
		if r.N > 0 {
			notes = append(notes, r)
		}
	}
	return notes
}

// A DoubtKind says why a difference is not sure.
type DoubtKind int

// The kinds of doubt.
const (
	NoDoubt    DoubtKind = iota
	HidesMore            // wood or rig gave way first in N of Of of Than, which may be the stronger bond
	WithZeros            // N of Of of Who fell apart; with these as 0 it does not stand above Than
	Reversed             // by Way it is Than that stands above Who
	IfAlike              // apart only if all scatter alike, which N of Who and Of of Than cannot show
	MeansTurn            // the arithmetic mean of Than is the higher one
	MoreFell             // N of Of of Who fell apart, surely more than of Than, and it reads higher all the same
	RiskHalved           // the risk is shared with what fell apart
)

// A Doubt is why a difference is not sure: Who reads higher than Than, by the plan's
// keys.
type Doubt struct {
	Kind      DoubtKind
	Who, Than string
	N, Of     int
	Way       Way
}
