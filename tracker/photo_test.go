package tracker

import (
	"strings"
	"testing"
)

// TestPhotoType: by the first bytes, of which the sources stand at PhotoType.
func TestPhotoType(t *testing.T) {
	for text, want := range map[string]string{
		"\xff\xd8\xff\xe0\x00\x10JFIF": "image/jpeg",
		"\xff\xd8\xff\xe1":             "image/jpeg",
		"\xff\xd8":                     "",
		"\x89PNG\r\n\x1a\n\x00":        "image/png",
		"\x89PNG\n\x1a\n":              "",
		"RIFF\x24\x00\x00\x00WEBPVP8 ": "image/webp",
		"RIFF\x24\x00\x00\x00WAVEfmt ": "",
		"RIFF\x24\x00\x00\x00WEB":      "",
		"GIF89a":                       "",
		"%PDF-1.7":                     "",
		"":                             "",
	} {
		if got := PhotoType([]byte(text)); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// TestPhotoSum against the check value of NIST FIPS 180-2, appendix B.1.
func TestPhotoSum(t *testing.T) {
	if got := PhotoSum([]byte("abc")); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" || strings.ToLower(got) != got {
		t.Error(got)
	}
}
