package photo

// The finite field of 256 elements that QR symbols compute in: polynomials
// over {0, 1} modulo x^8 + x^4 + x^3 + x^2 + 1 (ISO/IEC 18004, 7.5.2). Adding
// and subtracting are both exclusive or; alpha is the element x.

const fieldPolynomial = 0x11d

// fieldTables holds alpha^i for i in 0 to 509, and the logarithm of each
// element but 0.
type fieldTables struct {
	power [510]byte
	log   [256]int
}

var field = newFieldTables()

func newFieldTables() *fieldTables {
	t := &fieldTables{}
	x := 1
	for i := range 255 {
		t.power[i], t.power[i+255] = byte(x), byte(x)
		t.log[x] = i
		if x <<= 1; x > 255 {
			x ^= fieldPolynomial
		}
	}
	return t
}

// times returns the product of a and b.
func times(a, b byte) byte {
	if a == 0 || b == 0 {
		return 0
	}
	return field.power[field.log[a]+field.log[b]]
}

// over returns a / b; b must not be 0.
func over(a, b byte) byte {
	if a == 0 {
		return 0
	}
	return field.power[field.log[a]+255-field.log[b]]
}

// alpha returns alpha^n for any n, negative too.
func alpha(n int) byte {
	if n %= 255; n < 0 {
		n += 255
	}
	return field.power[n]
}

// evaluate returns the value at x of the polynomial with coefficients p,
// lowest first.
func evaluate(p []byte, x byte) byte {
	var sum byte
	for i := len(p) - 1; i >= 0; i-- {
		sum = times(sum, x) ^ p[i]
	}
	return sum
}
