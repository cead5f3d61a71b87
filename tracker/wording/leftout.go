package wording

// LeftOut says what a worksheet leaves out: specimens still in a bath, those that
// ended before its stage, and those not glued yet.
func LeftOut(inBath, ended, unglued int) (texts []string) {
	if inBath > 0 {
		texts = append(texts, Plural(inBath, "specimen")+" still in the bath; print another sheet after the lift-out")
	}
	if ended > 0 {
		texts = append(texts, Plural(ended, "specimen")+", fell apart before it, lost, damaged or withdrawn")
	}
	if unglued > 0 {
		texts = append(texts, "not glued yet: "+Plural(unglued, "specimen"))
	}
	return texts
}
