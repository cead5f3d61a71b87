package photo

import (
	"image"
	"image/color"
)

// A plane is a grey picture.
type plane struct {
	w, h int
	pix  []uint8 // row by row
}

// row returns the pixels of row y.
func (p *plane) row(y int) []uint8 { return p.pix[y*p.w:][:p.w] }

// lumaOf returns the lightness of the picture. Where the picture stores it in
// one piece, as JPEG files do, nothing is copied.
func lumaOf(img image.Image) *plane {
	switch img := img.(type) {
	case *image.Gray:
		return packed(img.Pix, img.Stride, img.Rect)
	case *image.YCbCr:
		return packed(img.Y, img.YStride, img.Rect)
	case *image.RGBA:
		return mappedRGBA(img, lightness)
	}
	return mapped(img, lightness)
}

// lightness and redness are the grey that a colour of 16 bits a part is taken as.
func lightness(r, g, b uint32) uint32 { return (19595*r + 38470*g + 7471*b) >> 24 }

func redness(r, _, _ uint32) uint32 { return r >> 8 }

// redOf returns the red of the picture, in which red-brown stains are palest,
// or nil when the picture is grey.
func redOf(img image.Image) *plane {
	switch img := img.(type) {
	case *image.Gray, *image.Gray16:
		return nil
	case *image.YCbCr:
		return redOfYCbCr(img)
	case *image.RGBA:
		return mappedRGBA(img, redness)
	}
	return mapped(img, redness)
}

// differs reports whether two planes of one size differ by more than a shift in
// tone: a standard deviation of 6 grey levels, on a grid of places.
func (p *plane) differs(q *plane) bool {
	if p.w != q.w || p.h != q.h {
		return true
	}
	sum, square, n := 0.0, 0.0, 0.0
	for i := 0; i < len(p.pix); i += 97 {
		d := float64(p.pix[i]) - float64(q.pix[i])
		sum, square, n = sum+d, square+d*d, n+1
	}
	mean := sum / max(1, n)
	return square/max(1, n)-mean*mean > 6*6
}

// packed returns the picture's pixels without gaps between rows.
func packed(pix []uint8, stride int, r image.Rectangle) *plane {
	w, h := r.Dx(), r.Dy()
	if stride == w {
		return &plane{w, h, pix[:w*h]}
	}
	p := &plane{w, h, make([]uint8, w*h)}
	for y := range h {
		copy(p.row(y), pix[y*stride:])
	}
	return p
}

func redOfYCbCr(img *image.YCbCr) *plane {
	r := img.Rect
	p := &plane{r.Dx(), r.Dy(), make([]uint8, r.Dx()*r.Dy())}
	for y := range p.h {
		out := p.row(y)
		for x := range out {
			luma := int(img.Y[img.YOffset(r.Min.X+x, r.Min.Y+y)])
			red := int(img.Cr[img.COffset(r.Min.X+x, r.Min.Y+y)]) - 128
			out[x] = uint8(min(255, max(0, luma+(91881*red+1<<15)>>16)))
		}
	}
	return p
}

// mapped computes a plane of any picture; what is transparent lies on white.
func mapped(img image.Image, tone func(r, g, b uint32) uint32) *plane {
	r := img.Bounds()
	p := &plane{r.Dx(), r.Dy(), make([]uint8, r.Dx()*r.Dy())}
	at := img.At
	if deep, ok := img.(image.RGBA64Image); ok {
		at = func(x, y int) color.Color { return deep.RGBA64At(x, y) }
	}
	for y := range p.h {
		out := p.row(y)
		for x := range out {
			red, green, blue, opaque := at(r.Min.X+x, r.Min.Y+y).RGBA()
			bare := 0xffff - opaque
			out[x] = uint8(min(255, tone(red+bare, green+bare, blue+bare)))
		}
	}
	return p
}

// mappedRGBA is mapped for the pixels of a page, which come as bytes.
func mappedRGBA(img *image.RGBA, tone func(r, g, b uint32) uint32) *plane {
	p := &plane{img.Rect.Dx(), img.Rect.Dy(), make([]uint8, img.Rect.Dx()*img.Rect.Dy())}
	for y := range p.h {
		out, pix := p.row(y), img.Pix[y*img.Stride:]
		for x := range out {
			q := pix[4*x : 4*x+4 : 4*x+4]
			bare := 0xff - uint32(q[3])
			deep := func(part uint8) uint32 { return (uint32(part) + bare) * 0x101 } // 8 bits as 16
			out[x] = uint8(min(255, tone(deep(q[0]), deep(q[1]), deep(q[2]))))
		}
	}
	return p
}

// half returns the plane at half the size, each pixel the mean of four.
func (p *plane) half() *plane {
	q := &plane{p.w / 2, p.h / 2, make([]uint8, (p.w/2)*(p.h/2))}
	for y := range q.h {
		above, below, out := p.row(2*y), p.row(2*y+1), q.row(y)
		for x := range out {
			out[x] = uint8((int(above[2*x]) + int(above[2*x+1]) + int(below[2*x]) + int(below[2*x+1]) + 2) / 4)
		}
	}
	return q
}

// double returns the plane at twice the size, interpolated.
func (p *plane) double() *plane {
	q := &plane{p.w * 2, p.h * 2, make([]uint8, p.w*2*p.h*2)}
	for y := range q.h {
		out := q.row(y)
		for x := range out {
			out[x] = uint8(p.at(float64(x)/2+0.25, float64(y)/2+0.25) + 0.5)
		}
	}
	return q
}

// crop returns the part of the plane that reaches margin beyond the points, and
// where its corner lies.
func (p *plane) crop(points [4]Point, margin float64) (*plane, Point) {
	x0, y0, x1, y1 := float64(p.w), float64(p.h), 0.0, 0.0
	for _, q := range points {
		x0, y0, x1, y1 = min(x0, q.X-margin), min(y0, q.Y-margin), max(x1, q.X+margin), max(y1, q.Y+margin)
	}
	left, top := int(max(0, x0)), int(max(0, y0))
	right, bottom := int(min(float64(p.w), x1)), int(min(float64(p.h), y1))
	if right <= left || bottom <= top {
		return &plane{}, Point{}
	}
	q := &plane{right - left, bottom - top, make([]uint8, (right-left)*(bottom-top))}
	for y := range q.h {
		copy(q.row(y), p.row(top + y)[left:])
	}
	return q, Point{float64(left), float64(top)}
}

// holds reports whether the point lies in the plane.
func (p *plane) holds(q Point) bool {
	return q.X >= 0 && q.Y >= 0 && q.X < float64(p.w) && q.Y < float64(p.h)
}

// at returns the grey at a point, interpolated between the four nearest
// pixels; beyond the edge the plane goes on as its last pixels.
func (p *plane) at(x, y float64) float64 {
	x, y = min(max(x-0.5, 0), float64(p.w-1)), min(max(y-0.5, 0), float64(p.h-1))
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	right, down := min(i+1, p.w-1), min(j+1, p.h-1)
	top := float64(p.pix[j*p.w+i])*(1-fx) + float64(p.pix[j*p.w+right])*fx
	low := float64(p.pix[down*p.w+i])*(1-fx) + float64(p.pix[down*p.w+right])*fx
	return top*(1-fy) + low*fy
}
