package tracker

import (
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
)

// A Work is what a stage asks of people. What the clock knows of a stage, its
// name, its order and whether it is under water, stands in package schedule; all
// that the work knows of it stands in the table below and nowhere else.
type Work struct {
	Stage schedule.Stage
	Do    string // what to do, in a few words; empty for a stage that only one plan knows

	Hands  time.Duration                    // how long a person is busy with one bond; zero: on no day of the calendar
	Taking func(SpecimenPlan) time.Duration // the plan's own word on that, zero where it has none; nil: it never has one

	Order  Order
	Boxes  []string // headings of what is filled in by hand on its worksheet
	Values []string // names of the values that are measured at it, as Value has them
	Drawn  bool     // its worksheet draws how the boards are cut
	InAir  bool     // its worksheet leaves out what lies in a bath
	Names  bool     // its worksheet names the adhesive
	Blind  bool     // but not while breaking is blind
	Bath   bool     // its worksheet names the bath
	Danger string   // what can hurt at it, in a word or two

	// Cautions write {short} and {water} for measures of a short piece and of a
	// tub, which worksheet gives in the units of the study.
	Caution string            // in full, for where the work is done; the usual practice of the trade
	Briefly []string          // the same for a list of all stages
	When    func(*Study) bool // whether a study needs Danger and Briefly; nil: every study does
}

// An Order is that in which a stage's worksheet lists the specimens.
type Order uint8

const (
	ByBoard  Order = iota // board by board along the serials
	AsDealt               // in the order dealt for the glue-up
	ByBath                // bath by bath along the serials
	AsBroken              // in the order to break in
)

// How long a pair of hands is busy with one bond, where the plan does not say.
// Common practice, no published source.
const (
	toGlue   = 4 * time.Minute
	toHandle = time.Minute // clamps off, into the bath, out of it
	toBreak  = 6 * time.Minute
)

// works says what each stage asks for, in the order of the work: those of every
// study, and those that plans often name themselves. The published sources of the
// figures in the cautions stand in the project's notes (OSHA 1910.213 for saws; the
// drowning and hydrogen sulfide facts of public safety agencies).
var works = []Work{{
	Stage: schedule.Cut, Do: "cut the blanks and label both", Drawn: true, Danger: "saw",
	Caution: "Guard and riving knife on, fence parallel. Cut long, then crosscut short pieces with a sled and a stop, never freehand; under {short} ask whether the machine is right. No gloves at a running saw. Wood dust harms the lungs: extraction and mask, no sweeping dry.",
	Briefly: []string{"cut long strips, crosscut short pieces with a sled and a stop; extraction and a mask for dust"},
}, {
	Stage: schedule.Planing, Do: "plane the faces; glue up before the surface ages",
	Caution: "Short or thin stock shatters in a planer: plane the long board before cutting, and keep to the maker's minimum length. No gloves, no hands over the cutter. Eyes, ears, extraction and mask.",
	Briefly: []string{"plane the long board before cutting it; short stock shatters in a planer"},
}, {
	Stage: "mix", Hands: toHandle,
	Caution: "Read the safety data sheet first. Gloves that suit the adhesive, eye protection, fresh air. Powder or caustic hardener: keep off eyes and skin. Epoxy: a big pot runs hot. Solvents: no flame or spark, rags in a closed metal tin.",
}, { // what is brief here depends on the adhesive: see Adhesive.Hazard
	Stage: schedule.GlueUp, Do: "spread, close and clamp; read both labels", Hands: toGlue, Taking: func(p SpecimenPlan) time.Duration { return p.TimePerBond },
	Order: AsDealt, Boxes: []string{"time", "clamp", "note"}, Names: true,
	Caution: "Read the safety data sheet. Gloves that suit the adhesive, eye protection, fresh air. Isocyanate (polyurethane): anyone with asthma keeps away, no spraying or heating. Epoxy: no skin contact, no solvent on skin. Solvents: no flame or spark. Bonded skin: do not pull, soak and peel.",
}, {
	Stage: "clamp on", Hands: toHandle,
	Caution: "A clamp stores energy: stand clear of the line of its screw, keep fingers out from under the jaws, and see that no clamp can fall.",
}, {
	Stage: schedule.ClampRemoval, Do: "take the clamps off", Hands: toHandle, Order: AsDealt,
	Caution: "A clamp stores energy: let the screw off slowly, stand clear of its line, hold clamp and block so that neither falls on feet. Squeezed-out adhesive is sharp: gloves, eye protection.",
	Briefly: []string{"keep fingers and face clear of a loaded clamp"},
}, {
	Stage: schedule.Immersion, Do: "weigh, then sink them with ballast, every bond line under water", Hands: toHandle,
	Order: ByBath, Boxes: []string{"time", "mass before", "note"}, Values: []string{"mass_before", "water"}, Bath: true, Danger: "tub and children, foul water", When: everSoaked,
	Caution: "A small child drowns in a few inches of water: lid locked or room locked. {water}: fill in place. Mains heater or light only with residual-current protection. Ballast down gently, no fingers under it. No bleach, no mixed chemicals.",
	Briefly: []string{"put ten trial labels under water first, and read them there: soaktag labels --trial",
		"lid or locked room: a child can drown in a tub; {water}"},
}, {
	Stage: schedule.LiftOut, Do: "lift out, keep wet, weigh, and break within the wet hold", Hands: toHandle,
	Order: ByBath, Boxes: []string{"time", "mass after", "note"}, Values: []string{"mass_after", "water"}, Bath: true, When: everSoaked,
	Caution: "Standing water may hold hydrogen sulfide: air first, open outdoors or by a door, do not lean over, never in a pit or cellar; the nose goes blind to it. Gloves and goggles, cover cuts, wash hands, no pressure washer. Lid locked again, or the bath emptied: children drown in it.",
	Briefly: []string{"old bath water: gloves, cover cuts, air the room"},
}, { // on a card where the plan says how often; the bath's, on no worksheet
	Stage: WaterChange, When: everSoaked, Values: []string{"water"},
	Caution: "Old bath water may hold hydrogen sulfide: air first, open outdoors or by a door, do not lean over. Gloves and goggles, cover cuts, wash hands. {water}: siphon with a pump, never by mouth, do not lift the tub. Not into a stream. No bleach. Lid locked again: children drown in it.",
}, { // on no card: a published schedule names the step
	Stage: "boiling", Hands: toHandle, When: everBoiled,
	Briefly: []string{"it scalds: lid, tongs, long gloves; a timer, and top up with hot water before it boils dry"},
}, {
	Stage: schedule.Break, Do: "break one by one, as next names them", Hands: toBreak, Taking: func(p SpecimenPlan) time.Duration { return p.TimePerBreak },
	Order: AsBroken, Boxes: []string{"time", "reading", "ended", "wood failure %", "mode", "note"}, InAir: true, Names: true, Blind: true, Danger: "press",
	Caution: "Pieces and tools fly: full guard or clear screen between eyes and ram, face shield, ear protection; stand to the side, all others behind a screen. No hands between plates. Below every part's working limit; no wood or hardened sockets as packing. Release the pressure before you approach an unbroken bond. Never feel for an oil leak.",
	Briefly: []string{"screen between eyes and ram, stand to the side, every part below its working limit"},
}, {
	Stage: "faces", Hands: toHandle, Boxes: []string{"wood failure %", "shallow", "mode", "note"},
	Caution: "Splinters and sharp edges: gloves, eye protection. Box the halves by code. Dry wood in a watched oven only, never the kitchen's.",
}}

// Works lists what is known of the work, in its order. The caller owns the slice.
func Works() []Work {
	list := make([]Work, len(works))
	for i, w := range works {
		list[i] = w.filled()
	}
	return list
}

// WorkOf is what a stage asks for. Names are compared as those of cards are, by
// letters and digits only, and without the number of a later pass, "immersion 2".
// Of a stage that is not in the table only the usual is known.
func WorkOf(stage schedule.Stage) Work {
	name := strings.TrimRight(string(stage), " 0123456789")
	i := slices.IndexFunc(works, func(w Work) bool { return labels.SameName(string(w.Stage), name) })
	if i < 0 {
		return Work{Stage: stage, Hands: toHandle}.filled()
	}
	return works[i].filled()
}

// filled has the boxes that every worksheet has, where the table gives none.
func (w Work) filled() Work {
	if w.Boxes == nil {
		w.Boxes = []string{"time", "note"}
	}
	return w
}

// Hands is how long one bond keeps a person busy at a stage: as the plan says,
// else as is usual. Zero for what is done on no day of the calendar.
func (s *Study) Hands(stage schedule.Stage) time.Duration {
	w := WorkOf(stage)
	if w.Taking != nil && w.Taking(s.Specimen) > 0 {
		return w.Taking(s.Specimen)
	}
	return w.Hands
}

// Needed reports whether a study comes to the work, so that its dangers are to be told.
func (w Work) Needed(s *Study) bool { return w.When == nil || w.When(s) }

// everSoaked reports whether anything of a study goes under water.
func everSoaked(s *Study) bool {
	return slices.ContainsFunc(s.Treatments, func(t Treatment) bool { return t.Soaked })
}

// everBoiled reports whether a treatment of a study has a step in boiling water.
func everBoiled(s *Study) bool {
	hot := func(text string) bool { return strings.Contains(strings.ToLower(text), "boil") }
	return slices.ContainsFunc(s.Treatments, func(t Treatment) bool {
		return hot(t.Water) || slices.ContainsFunc(t.Protocol.Steps, func(s schedule.Step) bool { return hot(s.Action) })
	})
}
