package wording

// LeftOut says what a worksheet leaves out: specimens still in a bath, and those
// that ended before its stage.
func LeftOut(inBath, ended int) (texts []string) {
	if inBath > 0 {
		texts = append(texts, Plural(inBath, "specimen")+" still in the bath; print another sheet after the lift-out")
	}
	if ended > 0 {
		texts = append(texts, Plural(ended, "specimen")+", fell apart before it, lost, damaged or withdrawn")
	}
	return texts
}
