package photo

import (
	"image/jpeg"
	"image/png"
	"io"
)

// A Look is all that is to be told of a photograph, without the picture.
type Look struct {
	Exif
	Found   []Found
	Prints  []Print    // how well what was found is printed
	Upright [][4]Point // the corners of what was found, in the picture turned upright
}

// LookAt opens a photograph and reads what is in it. list may be nil. The errors
// are those of Open.
func LookAt(file []byte, list *List, o Options) (Look, error) {
	picture, err := Open(file)
	if err != nil {
		return Look{}, err
	}
	look := Look{Exif: picture.Exif, Found: Read(picture.Image, list, o)}
	look.Prints = Prints(picture.Image, look.Found)
	for _, f := range look.Found {
		corners := f.Corners
		for i := range corners {
			corners[i] = picture.Upright(corners[i])
		}
		look.Upright = append(look.Upright, corners)
	}
	return look, nil
}

// WriteShown writes what Show draws of a photograph, as PNG or else as JPEG.
func WriteShown(w io.Writer, file []byte, found []Found, asPNG bool) error {
	picture, err := Open(file)
	if err != nil {
		return err
	}
	shown, err := Show(picture, found)
	if err != nil {
		return err
	}
	if asPNG {
		return png.Encode(w, shown)
	}
	return jpeg.Encode(w, shown, &jpeg.Options{Quality: 85})
}
