package tables

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"soaktag/tracker"
	"soaktag/tracker/wholefile"
)

// A PhotoWriter calls write with each photograph of the study: the SHA-256 of
// its bytes in hexadecimal, its type and the bytes.
type PhotoWriter func(write func(sum, mediaType string, photo []byte) error) error

// photoDir is the folder of an export that holds the photographs.
const photoDir = "photos"

// photoPath names a photograph within an export, "photos/SHA.jpg".
func photoPath(sum, mediaType string) string {
	return photoDir + "/" + sum + "." + extension(mediaType)
}

func extension(mediaType string) string {
	switch mediaType {
	case "image/png":
		return "png"
	case "image/webp":
		return "webp"
	}
	return "jpg"
}

// ReadPhoto reads a photograph of the export in dir by its SHA-256 in
// hexadecimal and its type. The error names the file: it is missing
// (fs.ErrNotExist), cannot be read, or holds something else.
func ReadPhoto(dir, sum, mediaType string) ([]byte, error) {
	path := filepath.Join(dir, filepath.FromSlash(photoPath(sum, mediaType)))
	const copyAgain = "take another copy of the export, or a backup"
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s is missing: %s: %w", path, copyAgain, fs.ErrNotExist)
	}
	if err != nil {
		return nil, fmt.Errorf("reading a photograph: %w", err)
	}
	defer f.Close()
	photo, err := io.ReadAll(io.LimitReader(f, tracker.MaxPhoto+1))
	if err != nil {
		return nil, fmt.Errorf("reading a photograph: %w", err)
	}
	if tracker.PhotoSum(photo) != sum {
		return nil, fmt.Errorf("%s is not the photograph that was kept: its SHA-256 is not the one it is named by; %s", path, copyAgain)
	}
	return photo, nil
}

// hasPhotos reports whether the record names a photograph.
func hasPhotos(r *tracker.Record) bool {
	for _, e := range r.Events() {
		if e.Photo != "" {
			return true
		}
	}
	return false
}

// writePhotos writes the photographs, all of the study like the log, into a
// folder of their own, and returns what the description says of them.
func (in Export) writePhotos(dir string) (described []photoResource, err error) {
	if in.Photos == nil {
		return nil, nil
	}
	err = in.Photos(func(sum, mediaType string, photo []byte) error {
		if err := os.MkdirAll(filepath.Join(dir, photoDir), 0o777); err != nil {
			return fmt.Errorf("exporting: %w", err)
		}
		r := describePhoto(sum, mediaType, len(photo))
		described = append(described, r)
		err := wholefile.Replace(filepath.Join(dir, filepath.FromSlash(r.Path)), func(w io.Writer) error {
			_, err := w.Write(photo)
			return err
		})
		if err != nil {
			return fmt.Errorf("exporting %s: %w", r.Path, err)
		}
		return nil
	})
	return described, err
}

// A photoResource describes one photograph, as the open data package
// descriptor has a resource that is no table.
type photoResource struct {
	Name      string `json:"name"`
	Path      string `json:"path"`
	Profile   string `json:"profile"`
	Format    string `json:"format"`
	MediaType string `json:"mediatype"`
	Bytes     int    `json:"bytes"`
	Hash      string `json:"hash"`
}

func describePhoto(sum, mediaType string, bytes int) photoResource {
	return photoResource{"photo-" + sum, photoPath(sum, mediaType), "data-resource", extension(mediaType), mediaType, bytes, "sha256:" + sum}
}
