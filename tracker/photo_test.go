package tracker

import (
	"strings"
	"testing"
)

// TestPhotoSum against the check value of NIST FIPS 180-2, appendix B.1.
func TestPhotoSum(t *testing.T) {
	if got := PhotoSum([]byte("abc")); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" || strings.ToLower(got) != got {
		t.Error(got)
	}
}
