package imagefile

import (
	"bytes"
	"encoding/binary"
	"strings"
	"time"
)

// An Exif is what a camera wrote beside a picture. What it did not write, or
// wrote so that it cannot be read, is zero.
//
// Source: Exif 2.32 (CIPA DC-008), sections 4.5 and 4.6; TIFF 6.0, section 2.
type Exif struct {
	Orientation int            // how the camera was held, 1 to 8; 1 where it does not say
	Wall        time.Time      // what the camera's clock showed at the shot, as if it stood in UTC; zero: not known
	Zone        *time.Location // the offset that the clock ran on; nil: not known
	Camera      string         // maker, model and serial number, as far as they are there
}

// Tags of Exif 2.32, tables 4, 7 and 8.
const (
	tagMake        = 0x010F
	tagModel       = 0x0110
	tagOrientation = 0x0112
	tagExif        = 0x8769 // where the second directory begins
	tagTaken       = 0x9003 // DateTimeOriginal; DateTime is when the file was changed
	tagTakenOffset = 0x9011 // OffsetTimeOriginal
	tagTakenPart   = 0x9291 // SubSecTimeOriginal
	tagSerial      = 0xA431 // BodySerialNumber
)

// ReadExif reads the Exif part of a JPEG, PNG or WebP file. Bytes of any kind
// may be given.
func ReadExif(file []byte) Exif {
	t := tiffOf(exifPart(file))
	first := t.directory(t.start())
	second := t.directory(int64(t.long(first[tagExif])))
	e := Exif{Orientation: 1, Camera: cameraOf(t.text(first[tagMake]), t.text(first[tagModel]), t.text(second[tagSerial]))}
	if o := t.short(first[tagOrientation]); o >= 1 && o <= 8 {
		e.Orientation = o
	}
	if e.Wall = wallTime(t.text(second[tagTaken]), t.text(second[tagTakenPart])); !e.Wall.IsZero() {
		e.Zone = zoneOf(t.text(second[tagTakenOffset]))
	}
	return e
}

// cameraOf joins the names of a camera. Some models repeat their maker.
func cameraOf(maker, model, serial string) string {
	if strings.HasPrefix(strings.ToLower(model), strings.ToLower(maker)) {
		maker = ""
	}
	return strings.Join(strings.Fields(maker+" "+model+" "+serial), " ")
}

// earliest and latest bound the years that a camera may say: whatever its zone, the
// instant is one that can be kept.
const earliest, latest = 1900, 9998

// wallTime reads "2026:03:21 10:15:30" and the digits behind the second.
func wallTime(text, part string) time.Time {
	t, err := time.Parse("2006:01:02 15:04:05", strings.TrimSpace(text))
	if err != nil || t.Year() < earliest || t.Year() > latest {
		return time.Time{}
	}
	if d, err := time.ParseDuration("0." + strings.TrimSpace(part) + "s"); err == nil && d >= 0 && d < time.Second && onlyDigits(part) {
		t = t.Add(d)
	}
	return t
}

func onlyDigits(text string) bool { return strings.Trim(strings.TrimSpace(text), "0123456789") == "" }

// zoneOf reads "+02:00"; nil for anything else.
func zoneOf(text string) *time.Location {
	t, err := time.Parse("-07:00", strings.TrimSpace(text))
	if err != nil {
		return nil
	}
	_, seconds := t.Zone()
	return time.FixedZone("", seconds)
}

// exifPart finds the TIFF part of a file; nil without one.
func exifPart(file []byte) []byte {
	switch Type(file) {
	case JPEG:
		return exifOfJPEG(file[2:])
	case PNG:
		return chunk(file[8:], pngChunk, "eXIf")
	case WebP:
		part := chunk(file[12:], riffChunk, "EXIF")
		return bytes.TrimPrefix(part, []byte("Exif\x00\x00")) // some writers put it there as well
	}
	return nil
}

// exifOfJPEG walks the segments before the picture (ITU-T T.81, B.1.1).
func exifOfJPEG(rest []byte) []byte {
	for len(rest) >= 4 && rest[0] == 0xFF {
		if rest[1] == 0xFF { // fill byte
			rest = rest[1:]
			continue
		}
		length := int(binary.BigEndian.Uint16(rest[2:])) + 2
		if length < 4 || length > len(rest) || rest[1] == 0xDA {
			return nil
		}
		if body := rest[4:length]; rest[1] == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return body[6:]
		}
		rest = rest[length:]
	}
	return nil
}

// pngChunk and riffChunk say how a chunk's head reads: its name, the length of
// its body, and how many bytes follow the body.
func pngChunk(head []byte) (name string, length, after uint64) {
	return string(head[4:8]), uint64(binary.BigEndian.Uint32(head)), 4
}

func riffChunk(head []byte) (name string, length, after uint64) {
	length = uint64(binary.LittleEndian.Uint32(head[4:]))
	return string(head[:4]), length, length % 2
}

// chunk returns the body of the first chunk of that name.
func chunk(rest []byte, read func([]byte) (string, uint64, uint64), wanted string) []byte {
	for len(rest) >= 8 {
		name, length, after := read(rest)
		rest = rest[8:]
		if length > uint64(len(rest)) {
			return nil
		}
		if name == wanted {
			return rest[:length]
		}
		rest = rest[min(length+after, uint64(len(rest))):]
	}
	return nil
}

// A tiff is the part of a file that holds directories of tags.
type tiff struct {
	order binary.ByteOrder
	bytes []byte
}

// A tag is an entry of a directory: its type, count and four bytes of value, or
// of where the value is. The zero tag is none.
type tag struct {
	kind  uint16
	count uint32
	value []byte
}

func tiffOf(part []byte) tiff {
	switch {
	case bytes.HasPrefix(part, []byte("II*\x00")):
		return tiff{binary.LittleEndian, part}
	case bytes.HasPrefix(part, []byte("MM\x00*")):
		return tiff{binary.BigEndian, part}
	}
	return tiff{binary.BigEndian, nil}
}

// start is where the first directory begins.
func (t tiff) start() int64 {
	if len(t.bytes) < 8 {
		return 0
	}
	return int64(t.order.Uint32(t.bytes[4:]))
}

// directory reads the tags of a directory; the first of a number counts.
func (t tiff) directory(at int64) map[uint16]tag {
	tags := map[uint16]tag{}
	if at < 8 || at+2 > int64(len(t.bytes)) {
		return tags
	}
	rest := t.bytes[at+2:]
	for range t.order.Uint16(t.bytes[at:]) {
		if len(rest) < 12 {
			break
		}
		number := t.order.Uint16(rest)
		if _, there := tags[number]; !there {
			tags[number] = tag{t.order.Uint16(rest[2:]), t.order.Uint32(rest[4:]), rest[8:12]}
		}
		rest = rest[12:]
	}
	return tags
}

// Types of TIFF 6.0, section 2.
const (
	kindASCII = 2
	kindShort = 3
	kindLong  = 4
)

func (t tiff) short(g tag) int {
	if g.kind != kindShort || g.count != 1 {
		return 0
	}
	return int(t.order.Uint16(g.value))
}

func (t tiff) long(g tag) uint32 {
	if g.kind != kindLong || g.count != 1 {
		return 0
	}
	return t.order.Uint32(g.value)
}

// longestText is more than any text looked at needs.
const longestText = 100

// text returns what stands before the first NUL, without what cannot be
// printed.
func (t tiff) text(g tag) string {
	if g.kind != kindASCII {
		return ""
	}
	body := g.value
	if g.count > 4 {
		at := uint64(t.order.Uint32(g.value))
		if at+uint64(g.count) > uint64(len(t.bytes)) {
			return ""
		}
		body = t.bytes[at : at+uint64(min(g.count, longestText))]
	} else {
		body = body[:g.count]
	}
	body, _, _ = bytes.Cut(body, []byte{0})
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return -1
		}
		return r
	}, string(body))
}
