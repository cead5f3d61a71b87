package qr

import (
	"fmt"
	"strings"
)

// SVG draws the symbol with its quiet zone as one path, a unit a module, black on
// white whatever surrounds it. It has no size of its own: what shows it sets that.
func (s Symbol) SVG() string {
	var path strings.Builder
	for y := range s.Size {
		for x := 0; x < s.Size; x++ {
			from := x
			for s.Dark(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+QuietZone, y+QuietZone, x-from, x-from)
			}
		}
	}
	side := s.Size + 2*QuietZone
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges"><rect width="%d" height="%d" fill="#fff"/><path d="%s" fill="#000"/></svg>`,
		side, side, side, side, path.String())
}
