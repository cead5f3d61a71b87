package photo

// Registration lays the known part of the symbol over the picture: finders,
// timing and the light ring about the symbol count for a pose where dark lies
// on dark, the modules of the text where they are clearly dark or light.

// A mark is a module of the template, with what a warp needs of it.
type mark struct {
	x, y   float64 // centre, in modules
	bx, by float64 // bow of x and y
	sign   int     // 1 dark, -1 light, 0 either
}

// template holds the function modules and the ring about the symbol first,
// then the modules of the text.
var template, functionMarks = newTemplate()

func newTemplate() (marks []mark, function int) {
	var text []mark
	for y := -1; y <= size; y++ {
		for x := -1; x <= size; x++ {
			sign := int8(-1)
			if x >= 0 && y >= 0 && x < size && y < size {
				sign = version1.function[y][x]
			}
			cx, cy := float64(x)+0.5, float64(y)+0.5
			m := mark{cx, cy, bow(cx), bow(cy), int(sign)}
			if sign == 0 {
				text = append(text, m)
			} else {
				marks = append(marks, m)
			}
		}
	}
	return append(marks, text...), len(marks)
}

// textWeight is what the clearness of the text's modules counts for beside the
// agreement of the known ones.
const textWeight = 0.4

// agreement returns how well the picture agrees with the known modules (-2 to
// 2; about 0.9 where all is well), and that plus the weighted clearness of the
// text.
func (c *contrast) agreement(p pose) (known, all float64) {
	w, ok := p.warp()
	if !ok {
		return -2, -2
	}
	known = c.sum(&w, template[:functionMarks]) / float64(functionMarks)
	clear := c.sum(&w, template[functionMarks:]) / float64(len(template)-functionMarks)
	return known, known + textWeight*clear
}

// centreWeight is textWeight for a pose that is nearly right: the text has more
// modules than the patterns, and all over the symbol.
const centreWeight = 0.8

// inner are four places within a module, from its middle.
var inner = [4]Point{{-.33, -.33}, {.33, -.33}, {.33, .33}, {-.33, .33}}

// broad is agreement with modules that are averaged over four places each: it is
// best where modules are met in their middle, while one place a module is
// content anywhere inside sharp ones.
func (c *contrast) broad(p pose) (known, all float64) {
	w, ok := p.warp()
	if !ok {
		return -2, -2
	}
	var parts [len(inner)]warp
	for i, d := range inner {
		parts[i] = w.shifted(d)
	}
	total, clear := 0, 0
	for i := range template {
		m, v := &template[i], 0
		for j := range parts {
			v += c.under(&parts[j], m)
		}
		if m.sign == 0 {
			clear += max(v, -v)
		} else {
			total += v * m.sign
		}
	}
	known = float64(total) / (unit * float64(len(inner)*functionMarks))
	return known, known + centreWeight*float64(clear)/(unit*float64(len(inner)*(len(template)-functionMarks)))
}

// under returns the contrast under a mark, 0 outside the picture.
func (c *contrast) under(w *warp, m *mark) int {
	k := 1 / (w.wx*m.x + w.wy*m.y + 1)
	x := (w.xx*m.x+w.xy*m.y+w.x1)*k + m.bx*w.across.X + m.by*w.down.X
	y := (w.yx*m.x+w.yy*m.y+w.y1)*k + m.bx*w.across.Y + m.by*w.down.Y
	if !(x >= 0 && y >= 0 && x < float64(c.w) && y < float64(c.h)) {
		return 0
	}
	return int(c.pix[int(y)*c.w+int(x)])
}

// sum adds up the contrast under the marks with their sign, or without any
// where they have none. What lies outside the picture counts nothing.
func (c *contrast) sum(w *warp, marks []mark) float64 {
	total := 0
	for i := range marks {
		v := c.under(w, &marks[i])
		if marks[i].sign == 0 {
			total += max(v, -v)
		} else {
			total += v * marks[i].sign
		}
	}
	return float64(total) / unit
}

var directions = [8]Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {.7, .7}, {-.7, -.7}, {.7, -.7}, {-.7, .7}}

// search moves the corners named in free (bit i for corner i) over a square of
// reach modules and keeps the best place of each.
func (c *contrast) search(p pose, free int, reach, step float64) pose {
	_, best := c.agreement(p)
	m := p.module()
	for i := range p.quad {
		if free&(1<<i) == 0 {
			continue
		}
		from, kept := p.quad[i], p
		for dy := -reach; dy <= reach; dy += step {
			for dx := -reach; dx <= reach; dx += step {
				p.quad[i] = from.plus(Point{dx * m, dy * m})
				if _, s := c.agreement(p); s > best {
					best, kept = s, p
				}
			}
		}
		p = kept
	}
	return p
}

// An agreeing tells how well a picture agrees with a pose: by the known modules
// alone, and by all that is to be the most.
type agreeing func(pose) (known, all float64)

// refine moves all corners by ever smaller steps while that helps. It returns
// the pose and its agreement with the known modules.
func (c *contrast) refine(p pose, first, last float64) (pose, float64) {
	p = refined(c.agreement, p, p.module(), first, last)
	known, _ := c.agreement(p)
	return p, known
}

// refined moves all corners by steps from first to last, in modules of m pixels.
func refined(agree agreeing, p pose, m, first, last float64) pose {
	_, best := agree(p)
	for step := first; step > last; step *= 0.55 {
		for range 3 {
			q, s := nudge(agree, p, best, step*m)
			if s <= best {
				break
			}
			p, best = q, s
		}
	}
	return p
}

// centre moves the corners by small steps so that modules are met in their
// middle. It returns the broad agreement with the known modules.
func (c *contrast) centre(p pose) (pose, float64) {
	p = centred(c.broad, p, p.module())
	known, _ := c.agreement(p)
	return p, known
}

func centred(broad agreeing, p pose, m float64) pose {
	_, best := broad(p)
	for step := 0.5; step > 0.04; step *= 0.7 {
		if q, s := nudge(broad, p, best, step*m); s > best {
			p, best = q, s
		}
	}
	return p
}

// bent lets the face be bowed, about either axis, by steps from first on.
func bent(agree agreeing, p pose, m, first float64) pose {
	_, best := agree(p)
	for step := first; step > 0.1; step *= 0.6 {
		for range 3 {
			q, s := nudgeBend(agree, p, best, step*m)
			q, s = nudge(agree, q, s, step*m/2)
			if s <= best {
				break
			}
			p, best = q, s
		}
	}
	return p
}

// nudge tries one step of each corner in eight directions.
func nudge(agree agreeing, p pose, best, step float64) (pose, float64) {
	for i := range p.quad {
		best = nudgePoint(agree, &p, &p.quad[i], best, step)
	}
	return p, best
}

// nudgeBend tries one step of each bow.
func nudgeBend(agree agreeing, p pose, best, step float64) (pose, float64) {
	best = nudgePoint(agree, &p, &p.across, best, step)
	best = nudgePoint(agree, &p, &p.down, best, step)
	return p, best
}

// nudgePoint moves a point of the pose by one step to where it is best, and
// returns how good that is.
func nudgePoint(agree agreeing, p *pose, at *Point, best, step float64) float64 {
	from, kept := *at, *at
	for _, d := range directions {
		*at = from.along(d, step)
		if _, s := agree(*p); s > best+1e-6 {
			best, kept = s, *at
		}
	}
	*at = kept
	return best
}
