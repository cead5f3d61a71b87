package labels

import "fmt"

// alphabet holds the 36 characters of ISO/IEC 7064 MOD 37,36 in the order of
// their values: 0 to 9, then A = 10 to Z = 35.
const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// Check returns the ISO/IEC 7064 MOD 37,36 check character of payload. With
// P = 36 at the start, every character of value a gives
//
//	P = 2 · (((P + a) mod 36) or 36 where that is 0) mod 37,
//
// and the check character is the one of value c with (P + c) mod 36 = 1.
// Every single wrong character is detected, and nearly every swap of two
// neighbours (all but 72 of the 45,360 cases of state and pair). The
// payload may hold the digits and the capitals A to Z only; anything
// else, and an empty payload, is an error.
//
// Source: ISO/IEC 7064:2003, hybrid system MOD 37,36.
func Check(payload string) (byte, error) {
	if payload == "" {
		return 0, fmt.Errorf("no check character: the payload is empty")
	}
	p := 36
	for i := range len(payload) {
		a, ok := value(payload[i])
		if !ok {
			return 0, fmt.Errorf("no check character: %q at place %d is neither a digit nor a capital", payload[i], i+1)
		}
		p = step(p, a)
	}
	return alphabet[(37-p)%36], nil
}

// step is one turn of the hybrid system: a bijection in a for every p, and in
// p for every a. That is why no single wrong character can go unnoticed.
func step(p, a int) int {
	s := (p + a) % 36
	if s == 0 {
		s = 36
	}
	return s * 2 % 37
}

func value(c byte) (int, bool) {
	switch {
	case c >= '0' && c <= '9':
		return int(c - '0'), true
	case c >= 'A' && c <= 'Z':
		return int(c-'A') + 10, true
	}
	return 0, false
}
