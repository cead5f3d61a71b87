package photo

import (
	"math"
	"slices"
)

// A blurred symbol is the sharp one folded with a kernel. As every module has
// one tone, the greys at the centres of the modules are a discrete convolution
// of the tones, which can be undone up to noise.

// kernelReach is how far a kernel reaches, in modules.
const kernelReach = 3

// A kernel holds the share that the light of a module has in its neighbours.
type kernel [2*kernelReach + 1][2*kernelReach + 1]float64

// defocus returns the kernel of a Gaussian blur with a standard deviation of
// sigma modules.
func defocus(sigma float64) *kernel {
	share := func(i int) float64 {
		at := func(x float64) float64 { return 0.5 * math.Erf(x/(sigma*math.Sqrt2)) }
		return at(float64(i)+0.5) - at(float64(i)-0.5)
	}
	k := &kernel{}
	for y := range k {
		for x := range k[y] {
			k[y][x] = share(y-kernelReach) * share(x-kernelReach)
		}
	}
	return k.whole()
}

// shake returns the kernel of a straight movement over length modules; the
// direction is in degrees from the symbol's x axis.
func shake(length, degrees float64) *kernel {
	const parts = 4 // places within a module from which light is taken, each way
	k := &kernel{}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	n := int(length*8) + 1
	for i := range n {
		t := length * ((float64(i)+0.5)/float64(n) - 0.5)
		for sub := range parts * parts {
			x := t*cos + (float64(sub%parts)+0.5)/parts - 0.5
			y := t*sin + (float64(sub/parts)+0.5)/parts - 0.5
			k.add(int(math.Round(x)), int(math.Round(y)))
		}
	}
	return k.whole()
}

func (k *kernel) add(x, y int) {
	if abs(x) <= kernelReach && abs(y) <= kernelReach {
		k[y+kernelReach][x+kernelReach]++
	}
}

// whole scales the kernel to a sum of 1.
func (k *kernel) whole() *kernel {
	sum := 0.0
	for y := range k {
		for x := range k[y] {
			sum += k[y][x]
		}
	}
	for y := range k {
		for x := range k[y] {
			k[y][x] /= sum
		}
	}
	return k
}

// kernels are the blurs that are tried.
var kernels = newKernels()

func newKernels() []*kernel {
	var all []*kernel
	for _, sigma := range []float64{0.45, 0.6, 0.72, 0.85, 1} {
		all = append(all, defocus(sigma))
	}
	for _, length := range []float64{1.5, 2, 2.5, 3} {
		for degrees := 0; degrees < 180; degrees += 15 {
			all = append(all, shake(length, float64(degrees)))
		}
	}
	return all
}

type greys [grid * grid]float64

// fold convolves the greys with the kernel; beyond the grid it goes on as its
// edge. A symmetric kernel, as all are, is its own adjoint but for the edge.
func (k *kernel) fold(in *greys) *greys {
	out := &greys{}
	for y := range grid {
		for x := range grid {
			sum := 0.0
			for j := range k {
				row := min(grid-1, max(0, y+j-kernelReach)) * grid
				for i, share := range k[j] {
					sum += share * in[row+min(grid-1, max(0, x+i-kernelReach))]
				}
			}
			out[y*grid+x] = sum
		}
	}
	return out
}

// noiseShare is what the greys of modules are taken to vary by noise and
// misfit, as a share of their own contrast: what the kernel has dimmed more
// than that is not amplified.
const noiseShare = 0.03

// sharpened returns the sampling with the kernel undone: the greys whose
// folding is nearest to what was sampled, held back by noiseShare, found by
// conjugate gradients on the normal equations.
func (s *sampling) sharpened(k *kernel) *sampling {
	mean := 0.0
	for _, g := range s.grey {
		mean += g / (grid * grid)
	}
	start := &greys{}
	for i, g := range s.grey {
		start[i] = g - mean
	}
	apply := func(v *greys) *greys {
		out := k.fold(k.fold(v))
		for i := range out {
			out[i] += noiseShare * noiseShare * v[i]
		}
		return out
	}
	x := solve(apply, k.fold(start), 14)
	out := &sampling{outside: s.outside}
	for i := range x {
		out.grey[i] = x[i] + mean
	}
	return out
}

// solve runs the method of conjugate gradients for apply(x) = b.
func solve(apply func(*greys) *greys, b *greys, rounds int) *greys {
	x, residual, direction := &greys{}, *b, *b
	power := dot(&residual, &residual)
	for range rounds {
		if power < 1e-9 {
			break
		}
		image := apply(&direction)
		step := power / max(1e-12, dot(&direction, image))
		for i := range x {
			x[i] += step * direction[i]
			residual[i] -= step * image[i]
		}
		next := dot(&residual, &residual)
		for i := range direction {
			direction[i] = residual[i] + next/power*direction[i]
		}
		power = next
	}
	return x
}

func dot(a, b *greys) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// agreement returns how well the soft values agree with the known modules, and
// that plus the clearness of the others.
func (s *softness) agreement() float64 {
	known, clear := 0.0, 0.0
	for y := range size {
		for x := range size {
			if sign := version1.function[y][x]; sign != 0 {
				known += float64(sign) * s[y][x]
			} else {
				clear += math.Abs(s[y][x])
			}
		}
	}
	return known + textWeight*clear
}

// deblurred returns the sampling with the likeliest blurs undone, those first
// under which the known modules come out best.
func (s *sampling) deblurred(most int) []*sampling {
	type try struct {
		*sampling
		score float64
	}
	var tries []try
	for _, k := range kernels {
		sharp := s.sharpened(k)
		tries = append(tries, try{sharp, sharp.byMean(3).agreement()})
	}
	slices.SortStableFunc(tries, func(a, b try) int { return compare(b.score, a.score) })
	var out []*sampling
	for _, t := range tries[:most] {
		out = append(out, t.sampling)
	}
	return out
}
