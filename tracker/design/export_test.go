package design

import "soaktag/tracker"

// The studies and rigs of the tests, for those of what is said of them.
var (
	Loft     = loft
	Ash      = ash
	PressRig = pressRig
	FrameRig = frameRig
	Clamps   = weakClamps
)

// OfRigs is what is foreseen of rigs alone.
func OfRigs(s *tracker.Study) []Foreseen {
	return ofRigs(s, tooWeak, unknownLimits, pastTheEnd, tooHigh, tooLow)
}
