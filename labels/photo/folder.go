package photo

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// InFolder lists the photographs in a folder and below, by name; others counts
// the other files in them. A file that is no photograph but is called like one
// is listed: it may be damaged, and so is one in a folder that cannot be looked
// into. What begins with a dot is passed. The error is that of the folder itself.
func InFolder(folder string) (paths []string, others int, err error) {
	folder = filepath.Clean(folder) + string(filepath.Separator) // through a link too
	err = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && path == folder:
			return err
		case err != nil: // the others go on, and this one is said
			paths = append(paths, path)
		case strings.HasPrefix(d.Name(), ".") && path != folder:
			if d.IsDir() {
				return fs.SkipDir
			}
		case d.IsDir():
		case isFile(path) && (CalledPhoto(path) || beginsAsPhoto(path)):
			paths = append(paths, path)
		default:
			others++
		}
		return nil
	})
	return paths, others, err
}

// isFile reports whether a path is a file, or leads to one.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// CalledPhoto reports whether a file is called like a photograph.
func CalledPhoto(path string) bool {
	return slices.Contains([]string{".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif"}, strings.ToLower(filepath.Ext(path)))
}

func beginsAsPhoto(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 16)
	n, _ := io.ReadFull(f, head) // a shorter file is judged by what there is
	return IsPhoto(head[:n])
}
