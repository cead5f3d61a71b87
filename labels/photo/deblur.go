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

// A blur is a kernel that is tried, and those that are tried with it when it
// turns out to be the best of the first.
type blur struct {
	*kernel
	first bool
	like  []int // places in blurs
}

// blurs are all that are tried: defocus, then movements by length and direction.
var blurs = newBlurs()

const (
	turns   = 12 // directions of movement, over half a circle
	focuses = 5
)

func newBlurs() []blur {
	var all []blur
	for i, sigma := range [focuses]float64{0.45, 0.6, 0.72, 0.85, 1} {
		all = append(all, blur{kernel: defocus(sigma), first: i%2 == 1})
	}
	for _, length := range []float64{1.5, 2, 2.5, 3} {
		for turn := range turns {
			all = append(all, blur{kernel: shake(length, float64(turn)*180/turns), first: length == 2 && turn%2 == 0})
		}
	}
	for i := range all {
		all[i].like = likeBlur(i, len(all))
	}
	return all
}

// likeBlur returns every defocus for a defocus, and for a movement those of all
// lengths whose direction is at most one step off.
func likeBlur(i, n int) (like []int) {
	for j := range n {
		apart := abs(i-j) % turns
		sameKind := (i < focuses) == (j < focuses)
		if sameKind && (i < focuses || apart <= 1 || apart == turns-1) {
			like = append(like, j)
		}
	}
	return like
}

type greys [grid * grid]float64

// fold convolves the greys with the kernel; beyond the grid it goes on as its
// edge. A symmetric kernel, as all are, is its own adjoint but for the edge.
func (k *kernel) fold(in *greys) *greys {
	out := &greys{}
	const wide = grid + 2*kernelReach
	var padded [wide * wide]float64
	for y := range wide {
		row := in[min(grid-1, max(0, y-kernelReach))*grid:]
		for x := range wide {
			padded[y*wide+x] = row[min(grid-1, max(0, x-kernelReach))]
		}
	}
	for j := range k {
		for i, share := range k[j] {
			if share == 0 {
				continue
			}
			for y := range grid {
				from, to := padded[(y+j)*wide+i:][:grid], out[y*grid:][:grid]
				for x := range to {
					to[x] += share * from[x]
				}
			}
		}
	}
	return out
}

// noiseShare is what the greys of modules are taken to vary by noise and
// misfit, as a share of their own contrast: what the kernel has dimmed more
// than that is not amplified.
const noiseShare = 0.03

const (
	quickRounds = 7 // tell which kernel is right
	fullRounds  = 14
)

// sharpened returns the sampling with the kernel undone: the greys whose
// folding is nearest to what was sampled, held back by noiseShare, found by
// so many rounds of conjugate gradients on the normal equations.
func (s *sampling) sharpened(k *kernel, rounds int) *sampling {
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
	x := solve(apply, k.fold(start), rounds)
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

// ranked returns the kernels under which the known modules of the sampling come
// out best, the best first: among a few that stand for all, and then among
// those like the best of them.
func (s *sampling) ranked(most int) []*kernel {
	type scored struct {
		place int
		score float64
	}
	var tried []scored
	try := func(i int) {
		if !slices.ContainsFunc(tried, func(t scored) bool { return t.place == i }) {
			tried = append(tried, scored{i, s.sharpened(blurs[i].kernel, quickRounds).byMean(3).agreement()})
		}
	}
	best := func(a, b scored) int { return compare(b.score, a.score) }
	for i := range blurs {
		if blurs[i].first {
			try(i)
		}
	}
	slices.SortStableFunc(tried, best)
	for _, i := range blurs[tried[0].place].like {
		try(i)
	}
	slices.SortStableFunc(tried, best)
	var kernels []*kernel
	for _, t := range tried[:most] {
		kernels = append(kernels, blurs[t.place].kernel)
	}
	return kernels
}

// polish moves the pose so that the known modules come out best after the
// kernel is undone: a blurred edge tells its place only so.
func (p pyramid) polish(i int, at pose, k *kernel) pose {
	agreement := func(at pose) (known, all float64) {
		s, ok := p.sample(i, at)
		if !ok {
			return -1, -1
		}
		a := s.sharpened(k, quickRounds).byMean(3).agreement()
		return a, a
	}
	_, best := agreement(at)
	for _, step := range []float64{0.25, 0.12} {
		at, best = nudge(agreement, at, best, step*at.module())
	}
	return at
}
