// Package sheettest reads PDFs in tests with programs that are not ours.
package sheettest

import (
	"bytes"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Everything reports whether the long form of a test is wanted, and missing
// tools are failures: SOAKTAG_CI=1.
func Everything() bool { return os.Getenv("SOAKTAG_CI") == "1" }

// Need skips the test where a tool is missing, and fails it where all must be there.
func Need(t testing.TB, tools ...string) {
	t.Helper()
	for _, tool := range tools {
		if _, err := exec.LookPath(tool); err != nil {
			if Everything() {
				t.Fatalf("%s is not installed", tool)
			}
			t.Skipf("%s is not installed: the PDF is not judged by it", tool)
		}
	}
}

// Render draws the first pages of a PDF in grey with pdftoppm (poppler).
func Render(t testing.TB, pdf []byte, dpi, pages int) []*image.Gray {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "job.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftoppm", "-gray", "-r", fmt.Sprint(dpi), "-l", fmt.Sprint(pages), file, filepath.Join(dir, "page")).CombinedOutput()
	if err != nil || len(out) > 0 {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "page*.pgm"))
	if len(files) == 0 {
		t.Fatal("pdftoppm drew no page")
	}
	var images []*image.Gray
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		images = append(images, pgm(t, data))
		os.Remove(name)
	}
	return images
}

func pgm(t testing.TB, data []byte) *image.Gray {
	t.Helper()
	var w, h, most int
	if n, err := fmt.Sscanf(string(data[:min(40, len(data))]), "P5\n%d %d\n%d\n", &w, &h, &most); n != 3 || most != 255 {
		t.Fatalf("not a PGM: %v", err)
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}
}

// Words reads the text of a PDF with pdftotext (poppler).
func Words(t testing.TB, data []byte) string {
	t.Helper()
	Need(t, "pdftotext")
	cmd := exec.Command("pdftotext", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}
