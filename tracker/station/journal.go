package station

import (
	"net/http"
	"slices"
	"sync"
	"time"

	"soaktag/tracker/wording"
)

// A journal tells what happens at the station, a line each, and counts what each
// phone sent. Of what is turned away the same again is only counted for a while, so
// that nobody can flood it.
type journal struct {
	clock func() time.Time
	hear  func(line string)
	one   sync.Mutex // held while a line is heard

	mu     sync.Mutex
	denied map[denial]*repeated
	came   map[string]*sum
}

// A denial is what is the same again.
type denial struct {
	who string
	why wording.Turned
}

type repeated struct {
	told time.Time
	more int
}

// quiet is for how long the same again is not told.
const quiet = 10 * time.Second

// A sum is what came in from one phone while the station ran.
type sum struct {
	phone    Phone
	taken    []string // entries that were recorded, by id
	notTaken int
}

func newJournal(clock func() time.Time, hear func(string)) journal {
	if hear == nil {
		hear = func(string) {}
	}
	return journal{clock: clock, hear: hear, denied: map[denial]*repeated{}, came: map[string]*sum{}}
}

func (j *journal) line(who, what string) { j.say(wording.StationLine(j.clock(), who, what)) }

func (j *journal) say(text string) {
	j.one.Lock()
	defer j.one.Unlock()
	j.hear(text)
}

// Say has the log hear something else, in turn with what happens.
func (s *Station) Say(text string) { s.log.say(text) }

// Welcome says where the station is; to a guest as well where that is wanted.
func (s *Station) Welcome(guest bool) {
	s.Say(s.URL("/"))
	if s.Secure {
		s.Say(wording.CompareFingerprint(fingerprint(s.certificate)))
	}
	if guest {
		s.Say(wording.GuestsAt(s.GuestURL()))
	}
}

// Sum says what came in while the station ran, phone by phone, and how much of it asks
// now: most of what asked was answered on the spot.
func (s *Station) Sum() {
	all := s.cameIn()
	for _, c := range all {
		s.Say(wording.CameIn(c.phone.Name, len(c.taken), s.stillAsk(c), c.notTaken))
	}
	if len(all) == 0 {
		s.Say(wording.NothingCameIn)
	}
}

// stillAsk counts the entries of a phone that ask as the record is now; none where it
// cannot be read any more, which was said before.
func (s *Station) stillAsk(c sum) (n int) {
	s.study.Lock()
	defer s.study.Unlock()
	desk, err := s.desk(c.phone)
	if err == nil {
		n, _ = desk.StillAsk(c.taken)
	}
	return n
}

// turned tells that a request was turned away.
func (j *journal) turned(r *http.Request, phone Phone, why wording.Turned) {
	more, tell := j.again(denial{addressOf(r), why})
	if !tell {
		return
	}
	asked := r.Method + " " + r.URL.Path
	if why == wording.ForeignHost {
		asked = r.Host
	}
	j.line(whoAsks(r, phone), wording.NotLetIn(why, asked, more))
}

// failed tells an error of the station's own.
func (j *journal) failed(r *http.Request, phone Phone, err error) {
	j.line(whoAsks(r, phone), wording.StationFailed(r.Method+" "+r.URL.Path, err))
}

func whoAsks(r *http.Request, phone Phone) string {
	if phone.Name != "" {
		return phone.Name
	}
	return addressOf(r)
}

// again counts what is turned away, and says whether it is to be told, and how many
// like it were not.
func (j *journal) again(d denial) (more int, tell bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	now := j.clock()
	if len(j.denied) > mostKept {
		clear(j.denied)
	}
	was := j.denied[d]
	if was != nil && now.Sub(was.told).Abs() < quiet {
		was.more++
		return 0, false
	}
	j.denied[d] = &repeated{told: now}
	if was != nil {
		more = was.more
	}
	return more, true
}

// How an entry ended, as the answer to the phone says.
const (
	stateGood = "good"
	stateAsks = "asks"
	stateBad  = "bad"
)

// came tells and counts an entry of a phone that was recorded: its id, and its verdict
// in one line.
func (s *Station) came(p Phone, entry, line string) {
	s.log.count(p, func(c *sum) { c.taken = append(c.taken, entry) })
	s.log.line(p.Name, line)
}

// notTaken tells and counts one of which nothing was.
func (s *Station) notTaken(p Phone, line string) {
	s.log.count(p, func(c *sum) { c.notTaken++ })
	s.log.line(p.Name, line)
}

func (j *journal) count(p Phone, in func(*sum)) {
	j.mu.Lock()
	defer j.mu.Unlock()
	c := j.came[p.ID]
	if c == nil {
		c = &sum{}
		j.came[p.ID] = c
	}
	c.phone = p
	in(c)
}

// cameIn is what came in, the phone that was paired first before the others.
func (s *Station) cameIn() (all []sum) {
	s.log.mu.Lock()
	defer s.log.mu.Unlock()
	for _, c := range s.log.came {
		one := *c
		one.taken = slices.Clone(c.taken)
		all = append(all, one)
	}
	slices.SortFunc(all, func(a, b sum) int { return a.phone.Paired.Compare(b.phone.Paired) })
	return all
}
