package photo

import "image"

// A Print says how well a label is printed, as far as a photograph shows it.
type Print struct {
	Contrast float64 // light paper less dark ink, as a share of the paper's lightness: the mean of the three finders
	Weakest  float64 // the same of the finder in which it is least: damage, dirt or a fold
}

// Prints measures the symbols found in a picture, in their order. It holds for
// symbols of the smallest version, as specimens have.
func Prints(img image.Image, found []Found) []Print {
	light, out := lumaOf(img), make([]Print, len(found))
	for i, f := range found {
		out[i] = printOf(light, f.Corners)
	}
	return out
}

func printOf(light *plane, corners [4]Point) Print {
	w, ok := square(corners)
	if !ok || light.w == 0 {
		return Print{}
	}
	p := Print{Weakest: 1}
	for _, centre := range [3]Point{{near, near}, {far, near}, {near, far}} {
		c := finderContrast(light, &w, centre)
		p.Contrast += c / 3
		p.Weakest = min(p.Weakest, c)
	}
	return p
}

// square returns the map from modules to pixels of a flat symbol with these
// corners: the same projective map as between finders, whose square is here
// taken to be the whole symbol.
func square(corners [4]Point) (warp, bool) {
	w, ok := pose{quad: corners}.warp()
	if !ok {
		return warp{}, false
	}
	inner := func(x, y float64) Point { return w.at(near+x*(far-near)/size, near+y*(far-near)/size) }
	return pose{quad: quad{inner(near, near), inner(far, near), inner(far, far), inner(near, far)}}.warp()
}

// finderContrast compares the dark square in the middle of a finder with the
// light ring about it.
func finderContrast(light *plane, w *warp, centre Point) float64 {
	mean := func(at []Point) (sum float64) {
		for _, d := range at {
			p := w.at(centre.X+d.X, centre.Y+d.Y)
			sum += light.at(p.X, p.Y)
		}
		return sum / float64(len(at))
	}
	dark := mean([]Point{{0, 0}, {-0.7, -0.7}, {0.7, -0.7}, {0.7, 0.7}, {-0.7, 0.7}})
	paper := mean([]Point{{-2, 0}, {2, 0}, {0, -2}, {0, 2}, {-2, -2}, {2, -2}, {2, 2}, {-2, 2}})
	if paper < 1 {
		return 0
	}
	return max(0, paper-dark) / paper
}
