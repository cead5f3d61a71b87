package qr

import (
	"fmt"
	"strings"
)

// SVG draws the symbol with its quiet zone as one path, a unit a module, black on
// white whatever surrounds it. It has no size of its own: what shows it sets that.
func (s Symbol) SVG() string {
	var path strings.Builder
	s.Runs(func(x, y, length int) {
		fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", x+QuietZone, y+QuietZone, length, length)
	})
	side := s.Size + 2*QuietZone
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges"><rect width="%d" height="%d" fill="#fff"/><path d="%s" fill="#000"/></svg>`,
		side, side, side, side, path.String())
}
