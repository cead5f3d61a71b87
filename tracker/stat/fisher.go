package stat

import "math"

// fisher is the two-sided p value of Fisher's exact test of x of n against y of m:
// the chance, given x+y in all, of a split no likelier than the one seen,
//
//	p = Σ P(i) over P(i) <= P(x),   P(i) = C(n,i) C(m,x+y-i) / C(n+m,x+y).
//
// Chances equal to seven digits count as equal. With none, or all, in both it is 1.
//
// Source: Fisher (1935), J. R. Stat. Soc. 98, 39-82. Check: R 4.2.2 fisher.test.
func fisher(x, n, y, m int) float64 {
	t := x + y
	base := lnChoose(n+m, t)
	chance := func(i int) float64 { return math.Exp(lnChoose(n, i) + lnChoose(m, t-i) - base) }
	seen, p := chance(x)*(1+1e-7), 0.0
	for i := max(0, t-m); i <= min(n, t); i++ {
		if c := chance(i); c <= seen {
			p += c
		}
	}
	return min(1, p)
}

// lnChoose is the logarithm of the number of ways to take k of n.
func lnChoose(n, k int) float64 { return lnFactorial(n) - lnFactorial(k) - lnFactorial(n-k) }

func lnFactorial(n int) float64 {
	if n < len(lnFactorials) {
		return lnFactorials[n]
	}
	l, _ := math.Lgamma(float64(n) + 1)
	return l
}

// lnFactorials are those that a study asks for again and again.
var lnFactorials = func() (table [128]float64) {
	for n := range table {
		table[n], _ = math.Lgamma(float64(n) + 1)
	}
	return table
}()
