package imagefile

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"image/png"
	"testing"
	"time"
)

// exifTIFF writes the TIFF part of Exif 2.32 with both directories.
func exifTIFF(order binary.AppendByteOrder, orientation uint16, first, second map[uint16]string) []byte {
	var head, values []byte
	head = append(head, map[bool]string{true: "II*\x00", false: "MM\x00*"}[order == binary.AppendByteOrder(binary.LittleEndian)]...)
	head = order.AppendUint32(head, 8)
	at2 := 8 + 2 + 12*(len(first)+2) + 4
	room := at2 + 2 + 12*len(second) + 4
	put := func(number uint16, text string) {
		raw := append([]byte(text), 0)
		head = order.AppendUint32(order.AppendUint16(order.AppendUint16(head, number), kindASCII), uint32(len(raw)))
		if len(raw) <= 4 {
			head = append(head, append(raw, 0, 0, 0)[:4]...)
			return
		}
		head = order.AppendUint32(head, uint32(room+len(values)))
		values = append(values, raw...)
	}
	head = order.AppendUint16(head, uint16(len(first)+2))
	for number, text := range first {
		put(number, text)
	}
	head = order.AppendUint32(order.AppendUint16(order.AppendUint16(head, tagOrientation), kindShort), 1)
	head = append(order.AppendUint16(head, orientation), 0, 0)
	head = order.AppendUint32(order.AppendUint32(order.AppendUint16(order.AppendUint16(head, tagExif), kindLong), 1), uint32(at2))
	head = append(head, 0, 0, 0, 0)
	head = order.AppendUint16(head, uint16(len(second)))
	for number, text := range second {
		put(number, text)
	}
	return append(append(head, 0, 0, 0, 0), values...)
}

func jpegWith(t testing.TB, img image.Image, tiff []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := append(binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(body)+2)), body...)
	return bytes.Join([][]byte{out.Bytes()[:2], segment, out.Bytes()[2:]}, nil)
}

// pngWith puts an eXIf chunk behind the head (Portable Network Graphics, third
// edition, 11.3.4.5). Its checksum is not looked at by who reads Exif.
func pngWith(t testing.TB, img image.Image, tiff []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		t.Fatal(err)
	}
	chunk := append(append(binary.BigEndian.AppendUint32(nil, uint32(len(tiff))), "eXIf"...), tiff...)
	return bytes.Join([][]byte{out.Bytes()[:33], append(chunk, 0, 0, 0, 0), out.Bytes()[33:]}, nil)
}

func webpWith(tiff []byte) []byte {
	body := append(append([]byte("WEBPEXIF"), binary.LittleEndian.AppendUint32(nil, uint32(len(tiff)))...), tiff...)
	return append(append([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(len(body)))...), body...)
}

func TestReadExif(t *testing.T) {
	first := map[uint16]string{tagMake: "Lark", tagModel: "Lark P2"}
	second := map[uint16]string{tagTaken: "2026:03:21 10:15:30", tagTakenOffset: "+05:45", tagTakenPart: "25", tagSerial: "77"}
	small := image.NewGray(image.Rect(0, 0, 8, 8))
	wall := time.Date(2026, 3, 21, 10, 15, 30, 250_000_000, time.UTC)
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		tiff := exifTIFF(order, 6, first, second)
		for kind, file := range map[string][]byte{"jpeg": jpegWith(t, small, tiff), "png": pngWith(t, small, tiff), "webp": webpWith(tiff)} {
			e := ReadExif(file)
			if e.Orientation != 6 || e.Camera != "Lark P2 77" || !e.Wall.Equal(wall) || e.Zone == nil {
				t.Fatalf("%s, %v: %+v", kind, order, e)
			}
			if _, offset := wall.In(e.Zone).Zone(); offset != 5*3600+45*60 {
				t.Errorf("%s: offset %d s", kind, offset)
			}
		}
	}
}

// What is not there, or is there in no spelling that Exif 2.32 knows, is zero.
func TestReadExifOdd(t *testing.T) {
	small := image.NewGray(image.Rect(0, 0, 8, 8))
	for _, taken := range []string{"", "0000:00:00 00:00:00", "    :  :     :  :  ", "2026:02:30 10:00:00", "2026-03-21 10:15:30", "1200:01:01 00:00:00"} {
		file := jpegWith(t, small, exifTIFF(binary.LittleEndian, 9, nil, map[uint16]string{tagTaken: taken, tagTakenOffset: "+01:00"}))
		if e := ReadExif(file); !e.Wall.IsZero() || e.Zone != nil || e.Orientation != 1 || e.Camera != "" {
			t.Errorf("%q: %+v", taken, e)
		}
	}
	for _, part := range []string{"", "x", "-5", "1e9", "99999999999999"} {
		file := jpegWith(t, small, exifTIFF(binary.LittleEndian, 1, nil, map[uint16]string{tagTaken: "2026:03:21 10:15:30", tagTakenPart: part, tagTakenOffset: "  :  "}))
		if e := ReadExif(file); e.Wall.Truncate(time.Second) != time.Date(2026, 3, 21, 10, 15, 30, 0, time.UTC) || e.Zone != nil {
			t.Errorf("%q: %+v", part, e)
		}
	}
}

// However the camera was held, and however little of the file is there.
func TestOrientation(t *testing.T) {
	small := image.NewGray(image.Rect(0, 0, 8, 8))
	for held := uint16(1); held <= 8; held++ {
		if got := ReadExif(jpegWith(t, small, exifTIFF(binary.BigEndian, held, nil, nil))).Orientation; got != int(held) {
			t.Errorf("%d, want %d", got, held)
		}
	}
	whole := jpegWith(t, small, exifTIFF(binary.BigEndian, 6, nil, nil))
	for n := range len(whole) {
		ReadExif(whole[:n]) // must not panic
	}
}

func FuzzReadExif(f *testing.F) {
	tiff := exifTIFF(binary.BigEndian, 3, map[uint16]string{tagMake: "M"}, map[uint16]string{tagTaken: "2026:03:21 10:15:30", tagTakenOffset: "-02:00"})
	small := image.NewGray(image.Rect(0, 0, 8, 8))
	f.Add(jpegWith(f, small, tiff))
	f.Add(pngWith(f, small, tiff))
	f.Add(webpWith(tiff))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\x08\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, file []byte) {
		e := ReadExif(file)
		if e.Orientation < 1 || e.Orientation > 8 || len(e.Camera) > 3*longestText+2 {
			t.Errorf("%+v", e)
		}
		if e.Wall.IsZero() && e.Zone != nil || !e.Wall.IsZero() && (e.Wall.Year() < 1900 || e.Wall.Year() > 9998) {
			t.Errorf("%+v", e)
		}
	})
}
