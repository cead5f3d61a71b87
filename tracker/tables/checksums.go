package tables

import (
	"crypto/sha256"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// format says how an export is read without this program.
//
//go:embed FORMAT.md
var format string

// sumsName is the list of checksums in an export, as sha256sum -c reads it.
const sumsName = "SHA256SUMS"

// checksums are the SHA-256 of files in hexadecimal, by their names.
type checksums map[string]string

// noting is what writes f, and notes its checksum; nil checksums note nothing.
func (c checksums) noting(f file) func(io.Writer) error {
	if c == nil {
		return f.write
	}
	return func(w io.Writer) error {
		sum := sha256.New()
		if err := f.write(io.MultiWriter(w, sum)); err != nil {
			return err
		}
		c[f.name] = fmt.Sprintf("%x", sum.Sum(nil))
		return nil
	}
}

// file is the list of all checksums, among them that of the finished description, which
// is written behind it: until then the list tells that something is missing.
func (c checksums) file(d *description) file {
	return file{sumsName, func(w io.Writer) error {
		if err := c.noting(d.file(marker))(io.Discard); err != nil {
			return err
		}
		for _, p := range d.photos {
			c[p.Path] = p.Hash[len("sha256:"):]
		}
		for _, name := range slices.Sorted(maps.Keys(c)) {
			if _, err := fmt.Fprintf(w, "%s  %s\n", c[name], name); err != nil {
				return err
			}
		}
		return nil
	}}
}

// sweep removes what an export that was killed left half written in its folder.
func sweep(dir string) error {
	if !earlier(filepath.Join(dir, "datapackage.json")) {
		return nil
	}
	for _, folder := range []string{dir, filepath.Join(dir, photoDir)} {
		held, _ := os.ReadDir(folder) // where it cannot be read there is nothing of ours
		for _, e := range held {
			if !strings.HasPrefix(e.Name(), ".soaktag-") {
				continue
			}
			if err := os.Remove(filepath.Join(folder, e.Name())); err != nil && !errors.Is(err, os.ErrNotExist) {
				return fmt.Errorf("exporting: %w", err)
			}
		}
	}
	return nil
}
