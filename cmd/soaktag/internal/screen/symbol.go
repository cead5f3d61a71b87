package screen

import "strings"

// Black on white, whatever the terminal's own colours are: a reader of symbols
// wants dark modules on a light ground.
const (
	blackOnWhite = "\x1b[38;5;16;48;5;231m"
	ownColours   = "\x1b[0m"
)

// halves show two modules, one above the other: none, the lower, the upper, both.
var halves = [...]string{" ", "▄", "▀", "█"}

// Symbol draws a square of modules with a light border, in modules, around it:
// dark tells those that are dark. A line has two rows of modules, so that they
// are about as wide as high. With colour they are black on white; without, dark is
// the colour of letters, which is right on a light terminal and on paper.
func Symbol(size, border int, dark func(x, y int) bool, colour bool) string {
	var b strings.Builder
	for y := -border; y < size+border; y += 2 {
		if colour {
			b.WriteString(blackOnWhite)
		}
		for x := -border; x < size+border; x++ {
			which := 0
			if dark(x, y) {
				which += 2
			}
			if dark(x, y+1) {
				which++
			}
			b.WriteString(halves[which])
		}
		if colour {
			b.WriteString(ownColours)
		}
		b.WriteString("\n")
	}
	return b.String()
}
