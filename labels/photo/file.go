package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // the kinds of file that Open takes
	_ "image/png"
	"io"
	"strings"

	_ "golang.org/x/image/webp"

	"soaktag/labels/photo/imagefile"
)

// MaxPixels is the largest picture that is opened: 52 million pixels, more than
// telephones make. A progressive JPEG of that size takes 0.8 GB to open.
const MaxPixels = 52_000_000

// maxBytes bounds what a PNG takes, which is opened whole and turned into
// colours: 40 million pixels, 20 million with 16 bits a colour.
const maxBytes = 160_000_000

// Exif is what a camera wrote beside a picture.
type Exif = imagefile.Exif

// A Picture is a photograph that was opened.
type Picture struct {
	image.Image // as the file holds it: not turned upright
	Exif
	Format string // "jpeg", "png" or "webp"
}

// Open reads a photograph: JPEG, PNG or WebP, told by its first bytes. Bytes of
// any kind may be given. Every error says in words what is wrong with the file,
// without naming it. A picture that claims to be larger than MaxPixels is
// refused by its head, before any memory is taken for it.
func Open(file []byte) (Picture, error) {
	width, height, err := Size(file)
	if err != nil {
		return Picture{}, err
	}
	img, format, err := decode(file)
	if err != nil {
		return Picture{}, fmt.Errorf("cannot be read: %w; copy it from the camera again", damage(err))
	}
	if b := img.Bounds(); b.Dx() != width || b.Dy() != height {
		return Picture{}, fmt.Errorf("cannot be read: its head promises %d x %d pixels, it has %d x %d", width, height, b.Dx(), b.Dy())
	}
	return Picture{img, imagefile.ReadExif(file), format}, nil
}

// Size returns how many pixels wide and high the photograph says that it is, as
// the file holds it. The errors are those of Open.
func Size(file []byte) (width, height int, err error) {
	if err := unsuited(file); err != nil {
		return 0, 0, err
	}
	head, format, err := decodeHead(file)
	switch {
	case errors.Is(err, image.ErrFormat):
		return 0, 0, errors.New("no photograph: by its first bytes it is neither JPEG, PNG nor WebP")
	case err != nil:
		return 0, 0, fmt.Errorf("cannot be read: %w; copy it from the camera again", damage(err))
	case head.Width < 1 || head.Height < 1:
		return 0, 0, fmt.Errorf("cannot be read: it says that it is %d x %d pixels", head.Width, head.Height)
	}
	pixels := int64(head.Width) * int64(head.Height)
	if pixels > MaxPixels || format == "png" && pixels*bytesOf(head) > maxBytes {
		return 0, 0, fmt.Errorf("too large: %d x %d pixels, and up to 52 million are read (as PNG 40 million, 20 million with 16 bits a colour); save it smaller", head.Width, head.Height)
	}
	return head.Width, head.Height, nil
}

// unsuited knows files that nothing here can read, with what to do.
func unsuited(file []byte) error {
	switch {
	case len(file) == 0:
		return errors.New("empty (0 bytes)")
	case IsHEIC(file):
		return errors.New("HEIC, which is not read: set the phone's camera to save JPEG (on many phones called \"most compatible\"), or export this picture as JPEG")
	}
	return nil
}

// IsHEIC knows what many telephones save unless told otherwise: HEIC and HEIF.
// AVIF is packed alike. Source: ISO/IEC 14496-12 section 4.3, the brand of a
// file follows "ftyp".
func IsHEIC(file []byte) bool {
	if len(file) < 12 || string(file[4:8]) != "ftyp" {
		return false
	}
	switch string(file[8:12]) {
	case "heic", "heix", "hevc", "hevx", "heim", "heis", "hevm", "hevs", "mif1", "msf1", "mif2", "avif", "avis":
		return true
	}
	return false
}

// IsPhoto reports whether the first bytes, sixteen of them or more, are those
// of a photograph, one that cannot be read included.
func IsPhoto(head []byte) bool {
	return imagefile.Type(head) != "" || IsHEIC(head)
}

// bytesOf is how many bytes a pixel of a PNG takes once it is opened.
func bytesOf(head image.Config) int64 {
	switch head.ColorModel {
	case color.RGBA64Model, color.NRGBA64Model:
		return 8
	}
	return 4
}

// decode and decodeHead give back what a decoder stumbles over as an error.
func decode(file []byte) (img image.Image, format string, err error) {
	defer recovered(&err)
	return image.Decode(bytes.NewReader(file))
}

func decodeHead(file []byte) (head image.Config, format string, err error) {
	defer recovered(&err)
	return image.DecodeConfig(bytes.NewReader(file))
}

func recovered(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("damaged (%v)", p)
	}
}

// damage says in words what a decoder said.
func damage(err error) error {
	text := err.Error()
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF), strings.Contains(text, "short Huffman data"):
		return errors.New("it ends too early, it was cut off")
	case strings.Contains(text, "unsupported"):
		return fmt.Errorf("a rare kind of file (%s)", text)
	}
	return fmt.Errorf("damaged (%s)", text)
}
