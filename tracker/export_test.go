package tracker

// Offer adds a way for a try to end after which the bond is whole, for a test of
// what else must know of it; the answer takes it away again.
func Offer(how How, outcome string) (withdraw func()) {
	before := endings
	endings = append(endings[:len(endings):len(endings)], ending{how: how, reading: wanted, outlast: true, outcome: outcome})
	return func() { endings = before }
}
