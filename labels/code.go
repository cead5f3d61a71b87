// Package labels is the sticker: the code of a specimen, the cards that set a
// stage, and the geometry of the stock they are printed on.
//
// A code such as HBR-017-J/1 is a study prefix, a serial, an ISO/IEC 7064
// MOD 37,36 check character over both, and the half of the specimen. In the
// symbol it is packed without separators: HBR017J1.
package labels

// A Code names a specimen, or one half of it. Two Codes are the same specimen
// when they are equal with Half set to 0.
type Code struct {
	Prefix string // two or three letters, no I, L, O
	Serial int    // from 1
	Half   int    // 1, 2, or 0 for the whole specimen
}
