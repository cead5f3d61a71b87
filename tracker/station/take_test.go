package station

import (
	"bytes"
	"encoding/json"
	"image"
	"image/png"
	"mime/multipart"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
)

// A sender is a phone that hands entries in.
type sender struct {
	*visitor
	n int64
}

func (b *bench) sender(name string) *sender { return &sender{visitor: b.paired(name)} }

// A said is an entry as a page writes it.
type said map[string]any

// entry is what the page writes of something done now, with what is special about it.
func (s *sender) entry(kind string, more said) said {
	s.n++
	now := s.clock().UnixMilli()
	e := said{"id": uuid.NewString(), "n": s.n, "at": now, "by": "Ann", "stage": "", "kind": kind,
		"clock": said{"epoch": "a7f3-1", "fact": said{"shown": now, "at": now, "trip": 20}}}
	for k, v := range more {
		e[k] = v
	}
	return e
}

func (s *sender) line(stage, line string) said {
	return s.entry("line", said{"stage": stage, "line": line})
}

// hands sends an entry and returns what came back.
func (s *sender) hands(e said) (status int, body string) {
	s.t.Helper()
	text, err := json.Marshal(e)
	if err != nil {
		s.t.Fatal(err)
	}
	return s.post("/take", string(text))
}

// sends is hands of what is answered.
func (s *sender) sends(e said) (a answer) {
	s.t.Helper()
	status, body := s.hands(e)
	if err := json.Unmarshal([]byte(body), &a); status != 200 || err != nil {
		s.t.Fatalf("%v: %d %s %v", e, status, body, err)
	}
	return a
}

// What a phone sends is recorded, and answered in a word and a line; sent again it is
// answered alike, and nothing is recorded twice.
func TestTake(t *testing.T) {
	b := newBench(t)
	ann := b.sender("Ann's phone")
	for _, test := range []struct {
		entry             said
		state, word, line string
	}{
		{ann.line("", ".GLUEUP"), "good", "GLUE-UP", "in force until 13:15"},
		{ann.line("glue-up", "HBR-003-X"), "good", "RECORDED", "HBR-003-X glue-up"},
		{ann.line("glue-up", "4"), "good", "RECORDED", "HBR-004-V glue-up"},
		{ann.line("glue-up", "HBR-003-N"), "bad", "NOT TAKEN", `"HBR-003-N" has a wrong check character`},
		{ann.line("immersion", ".BATHB1"), "asks", "ASKS", "2 specimens HBR-003-X to HBR-004-V immersion"},
		{ann.line("", ".WHOBO"), "good", "WHO", "Bo works here now"},
		{ann.entry("break", said{"stage": "break", "break": said{"subject": "3", "reading": "10 MPa", "ended": "separated"}}),
			"asks", "ASKS", "HBR-003-X: 10 MPa at the gauge is 15.94 kN, 8.86 MPa over the nominal area"},
		{ann.entry("ended", said{"ended": said{"subject": "4", "how": "fell apart"}}), "good", "RECORDED", "HBR-004-V break: fell apart"},
		{ann.entry("ended", said{"ended": said{"subject": "7", "how": "damaged"}}), "good", "RECORDED", "HBR-007-P damaged"},
		{ann.entry("break", said{"stage": "break", "break": said{"subject": "3", "ended": "separated"}}), "bad", "NOT TAKEN", "separated wants the reading of the gauge; nothing recorded"},
	} {
		for _, again := range []bool{false, true} {
			a := ann.sends(test.entry)
			if a.State != test.state || a.Word != test.word || a.Line != test.line {
				t.Errorf("%v: %+v", test.entry, a)
			}
			if a.Again != (again && a.Recorded > 0) {
				t.Errorf("%v: again %t", test.entry, a.Again)
			}
		}
	}
	_, body := ann.get("/state")
	var state struct {
		Events int
		People []string
	}
	if err := json.Unmarshal([]byte(body), &state); err != nil || state.Events != 9 || strings.Join(state.People, " ") != "Ann Mara" {
		t.Errorf("%s %v", body, err)
	}
}

// What a phone kept for one study is not taken into another that is served at the same
// address: it stays on the phone.
func TestTakeOfAnotherStudy(t *testing.T) {
	b := newBench(t)
	ann := b.sender("Ann's phone")
	_, body := ann.get("/state")
	var state struct {
		Study  struct{ ID string }
		Events int
	}
	if err := json.Unmarshal([]byte(body), &state); err != nil || state.Study.ID == "" {
		t.Fatalf("%s %v", body, err)
	}
	e := ann.line("glue-up", "HBR-003-X")
	e["study"] = uuid.NewString()
	if status, body := ann.hands(e); status != 409 || !strings.Contains(body, "made for another study") || !strings.Contains(body, "it stays on the phone") {
		t.Errorf("%d %s", status, body)
	}
	e["study"] = state.Study.ID
	if a := ann.sends(e); a.State != "good" || a.Again {
		t.Errorf("its own study: %+v", a)
	}
}

// with is a request that hands an entry in with a photograph.
func (s *sender) with(e said, photo []byte) (status int, body string) {
	s.t.Helper()
	text, err := json.Marshal(e)
	if err != nil {
		s.t.Fatal(err)
	}
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	for name, part := range map[string][]byte{"entry": text, "photo": photo} {
		into, err := w.CreateFormField(name)
		if err == nil {
			_, err = into.Write(part)
		}
		if err != nil {
			s.t.Fatal(err)
		}
	}
	w.Close()
	r := s.request("POST", "/take", form.String())
	r.Header.Set("Content-Type", w.FormDataContentType())
	return s.do(r)
}

// A photograph of which nothing is recorded stays on the phone; what was read in one
// that cannot be kept is recorded, and asks.
func TestTakePhotographNotKept(t *testing.T) {
	b := newBench(t)
	ann := b.sender("Ann's phone")
	heic := []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")
	found := []said{{"text": "HBR-003-X", "how": "decoded"}}
	var blank bytes.Buffer
	if err := png.Encode(&blank, image.NewGray(image.Rect(0, 0, 64, 64))); err != nil {
		t.Fatal(err)
	}
	late := ann.entry("photo", said{"stage": "glue-up", "found": []said{}})
	b.pass(time.Hour)
	for name, test := range map[string]struct {
		entry  said
		photo  []byte
		status int
		says   string
	}{
		"codes read":        {ann.entry("photo", said{"stage": "glue-up", "found": found}), heic, 200, `"state":"asks"`},
		"no code read":      {ann.entry("photo", said{"stage": "glue-up", "found": []said{}}), heic, 422, `"error":"the photograph is a HEIC`},
		"faces":             {ann.entry("faces", said{"faces": said{"subject": "HBR-003-X/1"}}), heic, 422, `"error":"`},
		"no such reading":   {ann.entry("break", said{"break": said{"subject": "HBR-003-X", "reading": "ten", "ended": "separated"}}), blank.Bytes(), 422, `"do":"`},
		"no label, just":    {ann.entry("photo", said{"stage": "glue-up", "found": []said{}}), blank.Bytes(), 200, `"NO LABEL"`},
		"no label, an hour": {late, blank.Bytes(), 422, `"error":"no label`},
	} {
		if status, body := ann.with(test.entry, test.photo); status != test.status || !strings.Contains(body, test.says) {
			t.Errorf("%s: %d %s", name, status, body)
		}
	}
}
