package photo

import "math"

// A label that is wavy or creased follows no pose. Its places are found by a
// net over the symbol whose knots are moved one by one, first of a few and then
// of more, each no further than its neighbours let it.

// A net holds by how many pixels each of side x side knots is moved; the outer
// ones lie on the edges of the symbol, so many modules apart.
type net struct {
	side  int
	wide  float64
	moved []Point
}

func newNet(side int, modules float64) *net { return &net{side, modules, make([]Point, side*side)} }

// at returns by how much the net moves a place in modules.
func (n *net) at(x, y float64) Point {
	last := float64(n.side - 1)
	x, y = min(max(x/n.wide*last, 0), last), min(max(y/n.wide*last, 0), last)
	i, j := min(int(x), n.side-2), min(int(y), n.side-2)
	fx, fy := x-float64(i), y-float64(j)
	k := n.moved[j*n.side+i:]
	top := k[0].by(1-fx).along(k[1], fx)
	low := k[n.side].by(1-fx).along(k[n.side+1], fx)
	return top.by(1-fy).along(low, fy)
}

// finer returns the same net with more knots.
func (n *net) finer(side int) *net {
	out := newNet(side, n.wide)
	step := n.wide / float64(side-1)
	for i := range out.moved {
		out.moved[i] = n.at(float64(i%side)*step, float64(i/side)*step)
	}
	return out
}

// strain is how much, in modules, a knot is moved unlike the mean of its
// neighbours.
func (n *net) strain(i int, module float64) float64 {
	sum, count := Point{}, 0.0
	x, y := i%n.side, i/n.side
	for _, d := range fourSides {
		if u, v := x+d.x, y+d.y; u >= 0 && v >= 0 && u < n.side && v < n.side {
			sum, count = sum.plus(n.moved[v*n.side+u]), count+1
		}
	}
	return n.moved[i].minus(sum.by(1/count)).length() / module
}

// fourSides are the steps to the places beside another.
var fourSides = [4]place{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}

// nudge moves a knot by one step to where it is worth most.
func (n *net) nudge(i int, step float64, worth func(knot int) float64) {
	from, kept, best := n.moved[i], n.moved[i], worth(i)
	for _, d := range directions {
		n.moved[i] = from.along(d, step)
		if s := worth(i); s > best+1e-6 {
			best, kept = s, n.moved[i]
		}
	}
	n.moved[i] = kept
}

// A netting lays a net over a picture in which the places of the template are
// roughly known.
type netting struct {
	*contrast
	*net
	rough  []Point // of the template's marks
	module float64
}

// stiffness is what a knot's strain costs, beside the agreement of a module.
const stiffness = 3

// near returns the agreement of the modules that a knot moves, less its strain.
func (t *netting) near(i int) float64 {
	total := 0
	reach := float64(size) / float64(t.side-1)
	kx, ky := float64(i%t.side)*reach, float64(i/t.side)*reach
	for j := range template {
		m := &template[j]
		if m.x-kx >= reach || kx-m.x >= reach || m.y-ky >= reach || ky-m.y >= reach {
			continue
		}
		total += t.gain(j)
	}
	s := t.strain(i, t.module)
	return float64(total)/unit - stiffness*s*s
}

// gain returns what a mark of the template counts where the net moves it.
func (t *netting) gain(j int) int {
	m := &template[j]
	q := t.rough[j].plus(t.at(m.x, m.y))
	if !(q.X >= 0 && q.Y >= 0 && q.X < float64(t.w) && q.Y < float64(t.h)) {
		return 0
	}
	v := int(t.pix[int(q.Y)*t.w+int(q.X)])
	if m.sign == 0 {
		return int(textWeight * float64(max(v, -v)))
	}
	return v * m.sign
}

// settle moves every knot by smaller and smaller steps to where it is best.
func (t *netting) settle() {
	for step := 0.6; step > 0.1; step *= 0.6 {
		for range 2 {
			for i := range t.moved {
				t.nudge(i, step*t.module, t.near)
			}
		}
	}
}

// netSides are the knots a side of the nets that are laid one after another.
var netSides = [3]int{3, 4, 7}

// rippled lays nets over places that are roughly known.
func (c *contrast) rippled(rough func(x, y float64) Point, module float64) *net {
	places := make([]Point, len(template))
	for i, m := range template {
		places[i] = rough(m.x, m.y)
	}
	n := newNet(2, size)
	for _, side := range netSides {
		n = n.finer(side)
		t := netting{c, n, places, module}
		t.settle()
	}
	return n
}

// readRippled reads a symbol on a face that is wavy or creased, of which a pose
// tells roughly where it is.
func (r *reader) readRippled(f fit) bool {
	w, ok := f.warp()
	return ok && r.readNet(f, w.at)
}

// readNet lays a net over places in the picture that are roughly known and
// reads what lies under it.
func (r *reader) readNet(f fit, rough func(x, y float64) Point) bool {
	k := 1 / r.light[f.level].scale
	n := r.light[f.level].rippled(func(x, y float64) Point { return rough(x, y).by(k) }, f.module()*k)
	under := func(x, y float64) Point { return rough(x, y).along(n.at(x, y), 1/k) }
	for _, i := range [2]int{max(0, min(f.level-1, r.light.fit(f.shortest())-1)), f.level} {
		s := r.light[i].plane.sampleAt(func(x, y float64) Point { return under(x, y).by(1 / r.light[i].scale) })
		g := f
		g.pose = poseOf([4]Point{under(0, 0), under(size, 0), under(size, size), under(0, size)})
		if r.decode(g, s) || r.match(g, s) {
			return true
		}
	}
	return false
}

// poseOf returns the flat pose of a symbol with these outer corners.
func poseOf(corners [4]Point) pose {
	w, ok := pose{quad: corners}.warp()
	if !ok {
		return pose{quad: corners}
	}
	at := func(x, y float64) Point { return w.at(near+x*steps/size, near+y*steps/size) }
	return pose{quad: quad{at(near, near), at(far, near), at(far, far), at(near, far)}}
}

// mostUneven bounds how many threes of finders are tried as symbols on an
// uneven face.
const mostUneven = 6

// unevenPass tries what has three finders and yet no pose: each finder
// tells how the face lies about it.
func (r *reader) unevenPass() {
	for i, g := range triples(r.open) {
		if i < mostUneven && !r.explained(g.pose.middle()) {
			r.readUneven(g)
		}
	}
	r.close()
}

func (p pose) middle() Point { return middle(p.quad) }

// readUneven reads a symbol by its three finders as the picture shows them.
func (r *reader) readUneven(g guess) bool {
	var faces [3]shape
	u, v := g.quad[1].minus(g.quad[0]), g.quad[3].minus(g.quad[0])
	for i, c := range g.finders {
		faces[i] = r.shape(r.light, c).facing(u, v)
	}
	at := [3]Point{{near, near}, {far, near}, {near, far}}
	rough := func(x, y float64) Point {
		sum, weights := Point{}, 0.0
		for i, s := range faces {
			d := Point{x, y}.minus(at[i])
			w := 1 / (1 + d.X*d.X + d.Y*d.Y)
			sum = sum.along(s.along(s.right, d.X).along(s.below, d.Y), w)
			weights += w
		}
		return sum.by(1 / weights)
	}
	g.quad[2] = rough(far, far)
	i := r.light.fit(g.module())
	r.light.prepare(i)
	return r.readNet(fit{pose: g.pose, level: i}, rough)
}

// facing returns the shape turned so that its right side points along u and its
// lower one along v as well as they can.
func (s shape) facing(u, v Point) shape {
	along := func(p, q Point) float64 { return p.X*q.X + p.Y*q.Y }
	best, most := s, math.Inf(-1)
	for range 4 {
		if d := along(s.right, u)/u.length() + along(s.below, v)/v.length(); d > most {
			best, most = s, d
		}
		s.right, s.below = s.below, s.right.by(-1)
	}
	return best
}
