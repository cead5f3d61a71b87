package worksheet

import (
	"strings"

	"soaktag/labels"
)

// first stands at the end of every caution.
const first = "These are the usual cautions only: defer to local codes and licensed practice."

// bathWarning stands on every bath tag.
const bathWarning = "DANGER FOR CHILDREN: a small child drowns in a few inches of water. Keep the lid locked or the room locked. Empty the bath when the test is done."

// bathCare stands on a bath tag below the warning.
const bathCare = "60 L of water weigh 60 kg: fill in place, siphon to empty. Bad smell: air first, do not lean over. No bleach, no mixed chemicals. " +
	"Mains heater or light only with residual-current protection. Bath water not into a stream. " + first

// cautions by stage: the usual practice of the trade, with the published
// sources of its figures in the project's notes (OSHA 1910.213 for saws; the
// drowning and hydrogen sulfide facts of public safety agencies).
var cautions = [...]struct{ stage, text string }{
	{"cut", "Guard and riving knife on, fence parallel. Cut long, then crosscut short pieces with a sled and a stop, never freehand; under 300 mm ask whether the machine is right. No gloves at a running saw. Wood dust harms the lungs: extraction and mask, no sweeping dry."},
	{"planing", "Short or thin stock shatters in a planer: plane the long board before cutting, and keep to the maker's minimum length. No gloves, no hands over the cutter. Eyes, ears, extraction and mask."},
	{"mix", "Read the safety data sheet first. Gloves that suit the adhesive, eye protection, fresh air. Powder or caustic hardener: keep off eyes and skin. Epoxy: a big pot runs hot. Solvents: no flame or spark, rags in a closed metal tin."},
	{"glue-up", "Read the safety data sheet. Gloves that suit the adhesive, eye protection, fresh air. Isocyanate (polyurethane): anyone with asthma keeps away, no spraying or heating. Epoxy: no skin contact, no solvent on skin. Solvents: no flame or spark. Bonded skin: do not pull, soak and peel."},
	{"clamp on", "A clamp stores energy: stand clear of the line of its screw, keep fingers out from under the jaws, and see that no clamp can fall."},
	{"clamp removal", "A clamp stores energy: let the screw off slowly, stand clear of its line, hold clamp and block so that neither falls on feet. Squeezed-out adhesive is sharp: gloves, eye protection."},
	{"immersion", "A small child drowns in a few inches of water: lid locked or room locked. 60 L of water weigh 60 kg: fill in place. Mains heater or light only with residual-current protection. Ballast down gently, no fingers under it. No bleach, no mixed chemicals."},
	{"lift-out", "Standing water may hold hydrogen sulfide: air first, open outdoors or by a door, do not lean over, never in a pit or cellar; the nose goes blind to it. Gloves and goggles, cover cuts, wash hands, no pressure washer. Lid locked again, or the bath emptied: children drown in it."},
	{"break", "Pieces and tools fly: full guard or clear screen between eyes and ram, face shield, ear protection; stand to the side, all others behind a screen. No hands between plates. Below every part's working limit; no wood or hardened sockets as packing. Release the pressure before you approach an unbroken bond. Never feel for an oil leak."},
	{"faces", "Splinters and sharp edges: gloves, eye protection. Box the halves by code. Dry wood in a watched oven only, never the kitchen's."},
}

// Caution returns the usual caution of a stage, to be printed where the work is
// done, and always the reminder that local codes and licensed practice come
// first. Stages are compared by letters and digits only, and without the number
// of a later pass, "immersion 2". A stage that is not known has the reminder
// alone.
func Caution(stage string) string {
	stage = strings.TrimRight(stage, " 0123456789")
	for _, c := range cautions {
		if labels.SameName(c.stage, stage) {
			return c.text + " " + first
		}
	}
	return first
}
