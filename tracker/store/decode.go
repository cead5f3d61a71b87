package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"
	"unicode/utf8"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// ErrBody is the cause of every error of Decode.
var ErrBody = errors.New("not the canonical bytes of an event")

// maxID is the longest id of an event in bytes.
const maxID = 64

// maxMS is the last millisecond that RFC 3339 can write, in the year 9999.
const maxMS = 253402300799999

// Decode is the reverse of Encode. It accepts the canonical form only, so that
// one event has one spelling and one hash: Encode of the event it returns gives
// body again. Seq is left zero. Errors wrap ErrBody and name the field's tag.
func Decode(body []byte) (tracker.Event, error) { return decode(string(body)) }

// decode takes one string, so that all texts of an event share one allocation.
func decode(body string) (tracker.Event, error) {
	if body == "" || body[0] != bodyVersion {
		return tracker.Event{}, fmt.Errorf("%w: it does not begin with version %d", ErrBody, bodyVersion)
	}
	d := decoder{rest: body[1:]}
	e := d.event()
	d.identity(e)
	if d.err != nil {
		return tracker.Event{}, d.err
	}
	return e, nil
}

func (d *decoder) event() (e tracker.Event) {
	for d.next() {
		switch d.tag {
		case tagID:
			e.ID = d.text()
		case tagKind:
			e.Kind = d.kind()
		case tagAtFrom:
			e.At.From = d.time()
		case tagAtTo:
			e.At.To = d.time()
		case tagDeviceTime:
			e.DeviceTime = d.bool()
		case tagRecorded:
			e.Recorded = d.time()
		case tagBy:
			e.By = d.text()
		case tagDevice:
			e.Device = d.text()
		case tagCount:
			e.Count = d.int()
		case tagVia:
			e.Via = d.text()
		case tagCode:
			e.Code = d.text()
		case tagHalf:
			e.Half = int(d.int())
		case tagStage:
			e.Stage = schedule.Stage(d.text())
		case tagBath:
			e.Bath = d.text()
		case tagNote:
			e.Note = d.text()
		case tagReason:
			e.Reason = d.text()
		case tagValues:
			e.Values = list(d, (*decoder).measured)
		case tagTry:
			e.Try = d.try()
		case tagFaces:
			e.Faces = d.faces()
		case tagEnd:
			e.End = tracker.Ending(d.text())
		case tagTarget:
			e.Target = d.text()
		case tagRule:
			e.Rule = tracker.Rule(d.text())
		case tagOther:
			e.Other = d.text()
		case tagUntilFrom:
			e.Until.From = d.time()
		case tagUntilTo:
			e.Until.To = d.time()
		case tagShown:
			e.Shown = d.time()
		case tagIssue:
			e.Issue = int(d.int())
		case tagPlan:
			e.Plan = []byte(d.text())
		case tagDealt:
			e.Dealt = list(d, (*decoder).specimen)
		case tagDealtBy:
			e.DealtBy = d.text()
		case tagDoubt:
			e.Doubt = d.text()
		case tagPhoto:
			e.Photo = d.sum()
		case tagPhotoType:
			e.PhotoType = d.photoType()
		case tagNotebook:
			e.Notebook = d.text()
		default:
			d.fail("unknown field")
		}
	}
	return e
}

// identity checks what no event can be without.
func (d *decoder) identity(e tracker.Event) {
	switch {
	case d.err != nil:
	case e.ID == "" || len(e.ID) > maxID:
		d.err = fmt.Errorf("%w: an id has 1 to %d bytes, this one has %d", ErrBody, maxID, len(e.ID))
	case e.Kind == 0:
		d.err = fmt.Errorf("%w: it has no kind", ErrBody)
	case (e.Photo == "") != (e.PhotoType == ""):
		d.err = fmt.Errorf("%w: the hash of a photograph and its type go together", ErrBody)
	}
}

// A decoder walks over a run of fields. After an error it stands still.
type decoder struct {
	rest  string
	tag   uint64
	value string
	err   error
}

// next steps to the next field, which must have a higher tag.
func (d *decoder) next() bool {
	if d.err != nil || d.rest == "" {
		return false
	}
	tag := d.uvarint()
	if d.err == nil && tag <= d.tag {
		d.fail("field %d follows it", tag)
	}
	d.tag = tag
	return d.item()
}

// item steps over a length and as many bytes, the new value.
func (d *decoder) item() bool {
	n := d.uvarint()
	if d.err == nil && n > uint64(len(d.rest)) {
		d.fail("it is cut short")
	}
	if d.err != nil {
		return false
	}
	d.value, d.rest = d.rest[:n], d.rest[n:]
	return true
}

func (d *decoder) fail(format string, args ...any) {
	if d.err == nil {
		d.err = fmt.Errorf("%w: field %d: %s", ErrBody, d.tag, fmt.Sprintf(format, args...))
	}
}

// uvarint reads a number of at most 64 bits in its shortest spelling.
func (d *decoder) uvarint() uint64 {
	v, n := uvarint(d.rest)
	if n == 0 {
		d.fail("a number is cut short or not in its shortest form")
		return 0
	}
	d.rest = d.rest[n:]
	return v
}

// uvarint is binary.Uvarint for strings, the shortest spelling only. It returns
// n = 0 for anything else.
func uvarint(s string) (v uint64, n int) {
	for i := 0; i < len(s) && i < binary.MaxVarintLen64; i++ {
		c := s[i]
		if i == binary.MaxVarintLen64-1 && c > 1 {
			return 0, 0
		}
		v |= uint64(c&0x7f) << (7 * i)
		if c < 0x80 {
			if c == 0 && i > 0 {
				return 0, 0
			}
			return v, i + 1
		}
	}
	return 0, 0
}

func (d *decoder) text() string {
	if d.value == "" || !utf8.ValidString(d.value) {
		d.fail("a text is empty or not UTF-8")
	}
	return d.value
}

// sum reads a SHA-256 in its one spelling.
func (d *decoder) sum() string {
	if _, ok := sumOf(d.value); !ok {
		d.fail("a photograph is named by the 64 small hexadecimal digits of its SHA-256")
	}
	return d.value
}

// photoType reads the type of a photograph. Another type needs another format
// of the file: a program that does not know it cannot name the exported photo.
func (d *decoder) photoType() string {
	switch d.value {
	case "image/jpeg", "image/png", "image/webp":
	default:
		d.fail("a photograph is image/jpeg, image/png or image/webp")
	}
	return d.value
}

func (d *decoder) int() int64 {
	u, n := uvarint(d.value)
	v := int64(u>>1) ^ -int64(u&1)
	if n == 0 || n != len(d.value) || v == 0 {
		d.fail("a number is zero or not in its shortest form")
	}
	return v
}

func (d *decoder) bool() bool {
	if d.int() != 1 {
		d.fail("a yes is not 1")
	}
	return true
}

func (d *decoder) kind() tracker.Kind {
	v := d.int()
	if v < 0 || v > math.MaxUint8 {
		v = 0
	}
	k := tracker.Kind(v)
	if known, ok := tracker.ParseKind(k.String()); !ok || known != k {
		d.fail("unknown kind of event")
	}
	return k
}

func (d *decoder) time() time.Time {
	if len(d.value) != 8 {
		d.fail("a time has %d bytes, not 8", len(d.value))
		return time.Time{}
	}
	var u uint64
	for i := range 8 {
		u = u<<8 | uint64(d.value[i])
	}
	ms := int64(u)
	if ms <= zeroMS || ms > maxMS {
		d.fail("a time is outside the years 1 to 9999")
	}
	return time.UnixMilli(ms).UTC()
}

// float reads a number written by floatText, and zero only where it may stand.
func (d *decoder) float(zero bool) float64 {
	v, err := strconv.ParseFloat(d.value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || floatText(v) != d.value || v == 0 && !zero {
		d.fail("a number is not a number, or not in its shortest form")
	}
	return v
}

// list reads the items of the current field, each with its own decoder.
func list[T any](d *decoder, read func(*decoder) T) []T {
	items := decoder{rest: d.value, tag: d.tag}
	var all []T
	for items.rest != "" && items.item() {
		item := decoder{rest: items.value}
		all = append(all, read(&item))
		if item.err != nil {
			d.fail("item %d: %v", len(all), item.err)
			return nil
		}
	}
	if items.err != nil || len(all) == 0 {
		d.fail("a list is empty or cut short")
	}
	return all
}

func (d *decoder) measured() (v tracker.Value) {
	for d.next() {
		switch d.tag {
		case tagValueName:
			v.Name = d.text()
		case tagValueText:
			v.Text = d.text()
		default:
			d.fail("unknown field")
		}
	}
	return v
}

func (d *decoder) try() *tracker.Try {
	f := decoder{rest: d.value}
	var t tracker.Try
	for f.next() {
		switch f.tag {
		case tagTryRig:
			t.Rig = f.text()
		case tagTryReading:
			t.Reading = f.text()
		case tagTryHow:
			t.How = tracker.How(f.text())
		case tagTryWoodFailure:
			v := f.float(true)
			t.WoodFailure = &v
		case tagTryMode:
			t.Mode = f.text()
		case tagTryState:
			t.State = f.text()
		default:
			f.fail("unknown field")
		}
	}
	d.inner(f)
	return &t
}

func (d *decoder) faces() *tracker.Faces {
	f := decoder{rest: d.value}
	var r tracker.Faces
	for f.next() {
		switch f.tag {
		case tagFacesWoodFailure:
			r.WoodFailure = f.float(false)
		case tagFacesMode:
			r.Mode = f.text()
		case tagFacesShallow:
			r.Shallow = f.bool()
		default:
			f.fail("unknown field")
		}
	}
	d.inner(f)
	return &r
}

// inner carries an error of a nested run of fields outwards.
func (d *decoder) inner(f decoder) {
	if f.err != nil {
		d.fail("%v", f.err)
	}
}

func (d *decoder) specimen() (s tracker.Specimen) {
	for d.next() {
		switch d.tag {
		case tagDealtPrefix:
			s.Code.Prefix = d.text()
		case tagDealtSerial:
			s.Code.Serial = int(d.int())
		case tagDealtHalf:
			s.Code.Half = int(d.int())
		case tagDealtName:
			s.Name = d.text()
		case tagDealtAdhesive:
			s.Adhesive = d.text()
		case tagDealtTreatment:
			s.Treatment = d.text()
		case tagDealtBoard:
			s.Board = d.text()
		case tagDealtBondedBlock:
			s.BondedBlock = d.text()
		case tagDealtBath:
			s.Bath = d.text()
		case tagDealtOrder:
			s.Order = int(d.int())
		case tagDealtBondLength:
			s.BondLength = quantity.Length(d.float(false))
		case tagDealtBondWidth:
			s.BondWidth = quantity.Length(d.float(false))
		case tagDealtParent:
			s.Parent = d.text()
		default:
			d.fail("unknown field")
		}
	}
	return s
}
