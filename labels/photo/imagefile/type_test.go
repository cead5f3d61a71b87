package imagefile

import "testing"

// TestType: by the first bytes, of which the sources stand at Type.
func TestType(t *testing.T) {
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
		if got := Type([]byte(text)); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}
