package photo

// correct repairs word in place, a Reed-Solomon code word whose last ec bytes
// are check bytes (generator with the roots alpha^0 to alpha^(ec-1), as in QR
// symbols). erased lists different places known to be unreadable; what stands
// there does not matter. It returns the number of places outside erased that
// were wrong, and false when no code word lies within 2·errors + erasures <=
// ec; then word is as it was. It is Berlekamp and Massey's algorithm started
// from the erasure locator (Blahut, Theory and Practice of Error Control
// Codes, 1983, chapter 9), and checks the syndromes of what it returns.
func correct(word []byte, ec int, erased []int) (errors int, ok bool) {
	if len(erased) > ec {
		return 0, false
	}
	syndromes, clean := syndromesOf(word, ec)
	if clean {
		return 0, true
	}
	locator, degree := locate(syndromes, len(word), erased)
	places := rootPlaces(locator[:degree+1], len(word))
	if len(places) != degree {
		return 0, false
	}
	fixed := append([]byte(nil), word...)
	repair(fixed, syndromes, locator[:degree+1], places)
	if _, clean := syndromesOf(fixed, ec); !clean {
		return 0, false
	}
	errors = changedOutside(word, fixed, erased)
	if 2*errors+len(erased) > ec {
		return 0, false
	}
	copy(word, fixed)
	return errors, true
}

// syndromesOf returns the values of the word at the roots of the generator,
// and whether all are 0, as those of a code word are.
func syndromesOf(word []byte, ec int) (s []byte, clean bool) {
	s, clean = make([]byte, ec), true
	for j := range s {
		root := alpha(j)
		for _, c := range word {
			s[j] = times(s[j], root) ^ c
		}
		clean = clean && s[j] == 0
	}
	return s, clean
}

// locate returns the polynomial whose roots are the inverse locators of the
// wrong and the erased places, and its degree.
func locate(syndromes []byte, n int, erased []int) (locator []byte, degree int) {
	ec := len(syndromes)
	locator = make([]byte, ec+2)
	locator[0] = 1
	for i, place := range erased {
		x := alpha(n - 1 - place)
		for j := i + 1; j > 0; j-- {
			locator[j] ^= times(locator[j-1], x)
		}
	}
	s := len(erased)
	before, length := append([]byte(nil), locator...), s
	for r := s + 1; r <= ec; r++ {
		var discrepancy byte
		for j := 0; j < r; j++ {
			discrepancy ^= times(locator[j], syndromes[r-1-j])
		}
		before = append([]byte{0}, before[:ec+1]...)
		if discrepancy == 0 {
			continue
		}
		next := make([]byte, ec+2)
		for i := range next {
			next[i] = locator[i] ^ times(discrepancy, before[i])
		}
		if 2*length <= r+s-1 {
			length = r + s - length
			for i := range before {
				before[i] = over(locator[i], discrepancy)
			}
		}
		locator = next
	}
	for degree = ec; degree > 0 && locator[degree] == 0; degree-- {
	}
	return locator, degree
}

// rootPlaces returns the places in a word of n bytes whose inverse locator is
// a root.
func rootPlaces(locator []byte, n int) []int {
	var places []int
	for place := range n {
		if evaluate(locator, alpha(-(n-1-place))) == 0 {
			places = append(places, place)
		}
	}
	return places
}

// repair adds to each place the value that Forney's formula gives.
func repair(word, syndromes, locator []byte, places []int) {
	omega := make([]byte, len(syndromes))
	for i := range omega {
		for j := 0; j <= i && j < len(locator); j++ {
			omega[i] ^= times(locator[j], syndromes[i-j])
		}
	}
	for _, place := range places {
		x := alpha(len(word) - 1 - place)
		inverse := over(1, x)
		var slope byte // of the locator: in this field only odd powers have one
		for j := 1; j < len(locator); j += 2 {
			slope ^= times(locator[j], alpha(-(len(word)-1-place)*(j-1)))
		}
		if slope != 0 {
			word[place] ^= times(x, over(evaluate(omega, inverse), slope))
		}
	}
}

func changedOutside(before, after []byte, erased []int) int {
	n := 0
	for i := range before {
		if before[i] != after[i] {
			n++
		}
	}
	for _, place := range erased {
		if before[place] != after[place] {
			n--
		}
	}
	return n
}
