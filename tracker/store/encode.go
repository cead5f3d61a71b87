package store

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// bodyVersion is the first byte of every body. Another layout gets another.
const bodyVersion = 1

// The tags of an event's fields. They are stored and never change; a new field
// takes the next number.
const (
	tagID = iota + 1
	tagKind
	tagAtFrom
	tagAtTo
	tagDeviceTime
	tagRecorded
	tagBy
	tagDevice
	tagCount
	tagVia
	tagCode
	tagHalf
	tagStage
	tagBath
	tagNote
	tagReason
	tagValues
	tagTry
	tagFaces
	tagEnd
	tagTarget
	tagRule
	tagOther
	tagUntilFrom
	tagUntilTo
	tagShown
	tagIssue
	tagPlan
	tagDealt
	tagDealtBy
	tagDoubt
	tagPhoto
	tagPhotoType
	tagNotebook
)

// The tags inside a value, a try, a reading of faces and a specimen.
const (
	tagValueName = 1
	tagValueText = 2

	tagTryRig         = 1
	tagTryReading     = 2
	tagTryHow         = 3
	tagTryWoodFailure = 4
	tagTryMode        = 5
	tagTryState       = 6

	tagFacesWoodFailure = 1
	tagFacesMode        = 2
	tagFacesShallow     = 3

	tagDealtPrefix      = 1
	tagDealtSerial      = 2
	tagDealtHalf        = 3
	tagDealtName        = 4
	tagDealtAdhesive    = 5
	tagDealtTreatment   = 6
	tagDealtBoard       = 7
	tagDealtBondedBlock = 8
	tagDealtBath        = 9
	tagDealtOrder       = 10
	tagDealtBondLength  = 11
	tagDealtBondWidth   = 12
	tagDealtParent      = 13
)

// Encode returns the canonical bytes of e: a version byte, then for each field
// that is not zero its tag, the length of its value and the value, in ascending
// order of tags.
//
//	body  = version { tag length value }
//	tag, length: uvarint, as short as possible
//	text  = UTF-8            int, bool = zigzag varint, as short as possible
//	time  = int64 UTC milliseconds, 8 bytes, big endian
//	float = text, the shortest that reads back as the same number
//	list  = { length item }, an item being fields again
//
// What the record does not keep is not in them: Seq (it is the row's), parts of
// a millisecond, time zones, and bytes that are not UTF-8 (each run becomes
// U+FFFD). Equal events have equal bytes.
func Encode(e tracker.Event) []byte {
	b := make(fields, 1, 160)
	b[0] = bodyVersion
	b.head(e)
	b.facts(e)
	b.rest(e)
	return b
}

// head appends what every event may have: identity, time and writer.
func (b *fields) head(e tracker.Event) {
	b.text(tagID, e.ID)
	b.int(tagKind, int64(e.Kind))
	b.span(tagAtFrom, e.At)
	b.bool(tagDeviceTime, e.DeviceTime)
	b.time(tagRecorded, e.Recorded)
	b.text(tagBy, e.By)
	b.text(tagDevice, e.Device)
	b.int(tagCount, e.Count)
	b.text(tagVia, e.Via)
}

// facts appends what happened to which specimen.
func (b *fields) facts(e tracker.Event) {
	b.text(tagCode, e.Code)
	b.int(tagHalf, int64(e.Half))
	b.text(tagStage, string(e.Stage))
	b.text(tagBath, e.Bath)
	b.text(tagNote, e.Note)
	b.text(tagReason, e.Reason)
	b.values(e.Values)
	b.try(e.Try)
	b.faces(e.Faces)
	b.text(tagEnd, string(e.End))
}

// rest appends what points at other events, and what a study begins with.
func (b *fields) rest(e tracker.Event) {
	b.text(tagTarget, e.Target)
	b.text(tagRule, string(e.Rule))
	b.text(tagOther, e.Other)
	b.span(tagUntilFrom, e.Until)
	b.time(tagShown, e.Shown)
	b.int(tagIssue, int64(e.Issue))
	if len(e.Plan) > 0 {
		b.put(tagPlan, string(e.Plan))
	}
	b.dealt(e.Dealt)
	b.text(tagDealtBy, e.DealtBy)
	b.text(tagDoubt, e.Doubt)
	b.text(tagPhoto, e.Photo)
	b.text(tagPhotoType, e.PhotoType)
	b.text(tagNotebook, e.Notebook)
}

// fields is a run of fields under construction.
type fields []byte

func (b *fields) put(tag int, value string) {
	*b = binary.AppendUvarint(*b, uint64(tag))
	b.item(value)
}

func (b *fields) item(value string) {
	*b = binary.AppendUvarint(*b, uint64(len(value)))
	*b = append(*b, value...)
}

func (b *fields) text(tag int, s string) {
	if s != "" {
		b.put(tag, strings.ToValidUTF8(s, "\uFFFD"))
	}
}

func (b *fields) int(tag int, v int64) {
	if v != 0 {
		var buf [binary.MaxVarintLen64]byte
		b.put(tag, string(buf[:binary.PutVarint(buf[:], v)]))
	}
}

func (b *fields) bool(tag int, v bool) {
	if v {
		b.int(tag, 1)
	}
}

// span uses two tags in a row.
func (b *fields) span(tag int, s schedule.Span) {
	b.time(tag, s.From)
	b.time(tag+1, s.To)
}

// zeroMS is the zero time.Time, which is left out, in milliseconds.
const zeroMS = -62135596800000

func (b *fields) time(tag int, t time.Time) {
	if ms := t.UnixMilli(); ms != zeroMS {
		var buf [8]byte
		binary.BigEndian.PutUint64(buf[:], uint64(ms))
		b.put(tag, string(buf[:]))
	}
}

func (b *fields) float(tag int, v float64) {
	if v != 0 {
		b.put(tag, floatText(v))
	}
}

// floatText writes v as short as it can be read back. Minus zero is zero, and
// every not-a-number is the same one; reading refuses that one.
func floatText(v float64) string {
	if v == 0 || math.IsNaN(v) {
		v = math.Abs(v)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func (b *fields) values(values []tracker.Value) {
	var list fields
	for _, v := range values {
		var f fields
		f.text(tagValueName, v.Name)
		f.text(tagValueText, v.Text)
		list.item(string(f))
	}
	if len(values) > 0 {
		b.put(tagValues, string(list))
	}
}

func (b *fields) try(t *tracker.Try) {
	if t == nil {
		return
	}
	var f fields
	f.text(tagTryRig, t.Rig)
	f.text(tagTryReading, t.Reading)
	f.text(tagTryHow, string(t.How))
	if t.WoodFailure != nil { // 0 % was judged, nil was not
		f.put(tagTryWoodFailure, floatText(*t.WoodFailure))
	}
	f.text(tagTryMode, t.Mode)
	f.text(tagTryState, t.State)
	b.put(tagTry, string(f))
}

func (b *fields) faces(r *tracker.Faces) {
	if r == nil {
		return
	}
	var f fields
	f.float(tagFacesWoodFailure, r.WoodFailure)
	f.text(tagFacesMode, r.Mode)
	f.bool(tagFacesShallow, r.Shallow)
	b.put(tagFaces, string(f))
}

func (b *fields) dealt(specimens []tracker.Specimen) {
	var list fields
	for _, s := range specimens {
		list.item(string(specimen(s)))
	}
	if len(specimens) > 0 {
		b.put(tagDealt, string(list))
	}
}

func specimen(s tracker.Specimen) fields {
	var f fields
	f.text(tagDealtPrefix, s.Code.Prefix)
	f.int(tagDealtSerial, int64(s.Code.Serial))
	f.int(tagDealtHalf, int64(s.Code.Half))
	f.text(tagDealtName, s.Name)
	f.text(tagDealtAdhesive, s.Adhesive)
	f.text(tagDealtTreatment, s.Treatment)
	f.text(tagDealtBoard, s.Board)
	f.text(tagDealtBondedBlock, s.BondedBlock)
	f.text(tagDealtBath, s.Bath)
	f.int(tagDealtOrder, int64(s.Order))
	f.length(tagDealtBondLength, s.BondLength)
	f.length(tagDealtBondWidth, s.BondWidth)
	f.text(tagDealtParent, s.Parent)
	return f
}

// length keeps metres, exactly as the plan reader or the table gave them.
func (b *fields) length(tag int, l quantity.Length) { b.float(tag, float64(l)) }
