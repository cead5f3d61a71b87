package station

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// What the station keeps of a phone lets nobody be that phone, and is for its owner alone.
func TestPhonesAreKeptSecret(t *testing.T) {
	study := newStudy(t)
	f, err := openFolder(study)
	if err != nil {
		t.Fatal(err)
	}
	ann, sent, err := f.add("Ann", noon)
	if err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(sent, ".")
	files, err := filepath.Glob(filepath.Join(f.path, "*"))
	if err != nil || len(files) != 2 {
		t.Fatalf("%v, %v", files, err)
	}
	for _, path := range append(files, f.path) {
		info, err := os.Stat(path)
		if err != nil || info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: %v, %v", path, info.Mode(), err)
		}
		if text, _ := os.ReadFile(path); strings.Contains(string(text), token) {
			t.Errorf("%s holds the token", path)
		}
	}
	if got, err := f.find(sent); err != nil || got.ID != ann.ID || got.Name != "Ann" {
		t.Errorf("%+v, %v", got, err)
	}
}

// A phone is revoked by its id, or its name where that is one's alone, also after it was
// seen meanwhile by a station that runs.
func TestRevoke(t *testing.T) {
	study := newStudy(t)
	f, err := openFolder(study)
	if err != nil {
		t.Fatal(err)
	}
	add := func(name string) (Phone, string) {
		p, sent, err := f.add(name, noon)
		if err != nil {
			t.Fatal(err)
		}
		return p, sent
	}
	_, annSent := add("Ann")
	ben, benSent := add("Ben")
	add("Ben")
	var several *NotOne
	if _, err := Revoke(study, "ben"); !errors.As(err, &several) || several.Meant != 2 || !strings.Contains(err.Error(), ben.ID) {
		t.Errorf("two are called so: %v", err)
	}
	if _, err := Revoke(study, "Cat"); !errors.As(err, &several) || several.Meant != 0 {
		t.Errorf("nobody is called so: %v", err)
	}
	for _, which := range []string{"ANN", ben.ID} {
		if _, err := Revoke(study, which); err != nil {
			t.Error(err)
		}
	}
	f.seen(ben.ID, noon.Add(time.Hour))
	for _, sent := range []string{annSent, benSent} {
		if _, err := f.find(sent); !errors.Is(err, errRevoked) {
			t.Errorf("%v", err)
		}
	}
	all, err := Phones(study)
	if err != nil || len(all) != 3 {
		t.Errorf("%+v, %v", all, err)
	}
}

// Phones are listed with when they were last here.
func TestPhonesSeen(t *testing.T) {
	study := newStudy(t)
	if all, err := Phones(study); all != nil || err != nil {
		t.Errorf("before any: %v, %v", all, err)
	}
	f, err := openFolder(study)
	if err != nil {
		t.Fatal(err)
	}
	ann, _, _ := f.add("Ann", noon)
	f.seen(ann.ID, noon.Add(3*time.Hour))
	f.seen(ann.ID, noon.Add(3*time.Hour+time.Second)) // within the minute
	all, err := Phones(study)
	if err != nil || len(all) != 1 || !all[0].Seen.Equal(noon.Add(3*time.Hour)) || !all[0].Paired.Equal(noon) {
		t.Errorf("%+v, %v", all, err)
	}
	if err := os.WriteFile(f.file(paired, "aaaaaaaa"), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if all, err := Phones(study); len(all) != 1 || err == nil || !strings.Contains(err.Error(), "phone-aaaaaaaa.json") {
		t.Errorf("a file that was spoilt: %+v, %v", all, err)
	}
}

// New links lead somewhere else, and the old ones nowhere, while the station runs.
func TestNewLinks(t *testing.T) {
	b := newBench(t, probes...)
	path := func() string { return strings.TrimPrefix(b.GuestURL(), b.URL("")) + "probe" }
	old, who := path(), b.stranger()
	if status, _ := who.get(old); status != 200 {
		t.Errorf("a guest: %d", status)
	}
	if status, _ := who.get("/probe"); status != 401 {
		t.Errorf("a guest gets what phones have: %d", status)
	}
	calendar := strings.Replace(strings.TrimPrefix(b.CalendarURL(), b.URL("")), ".ics", ".probe", 1)
	if status, _ := who.get(calendar); status != 200 {
		t.Errorf("a calendar: %d", status)
	}
	if err := NewLinks(b.File); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{old, calendar, "/guest/x/probe"} {
		who.wants(404, who.request("GET", path, ""))
	}
	if status, _ := who.get(path()); status != 200 {
		t.Errorf("by the new link: %d", status)
	}
	if err := os.Remove(b.phones.secret()); err != nil {
		t.Fatal(err)
	}
	who.wants(404, who.request("GET", path(), ""))
}
