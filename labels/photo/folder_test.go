package photo

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// TestInFolder: a photograph is told by its name or by its first bytes, in
// folders below as well, and a link to a folder is that folder.
func TestInFolder(t *testing.T) {
	folder, link := t.TempDir(), filepath.Join(t.TempDir(), "phone")
	for name, body := range map[string]string{
		"a.JPG": "damaged", "notes.txt": "x", "b": "\xff\xd8\xff\xe0", ".c.jpg": "x", "in/d.heic": "x", "in/empty": "", ".trash/e.jpg": "x",
	} {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(folder, link); err != nil {
		link = folder // some systems want a right for it
	}
	paths, others, err := InFolder(link)
	var names []string
	for _, path := range paths {
		names = append(names, filepath.Base(path))
	}
	if err != nil || others != 2 || !slices.Equal(names, []string{"a.JPG", "b", "d.heic"}) {
		t.Errorf("%q, %d others, %v", names, others, err)
	}
	if _, _, err := InFolder(filepath.Join(folder, "none")); err == nil {
		t.Error("a folder that is not there has no error")
	}
}
