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

	mu     sync.Mutex
	denied map[denial]*repeated
	came   map[string]*Came
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

// Came is what came in from one phone while the station ran.
type Came struct {
	Phone    Phone
	Taken    int // entries that were recorded
	Asks     int // of these that ask
	NotTaken int
}

func newJournal(clock func() time.Time, hear func(string)) journal {
	if hear == nil {
		hear = func(string) {}
	}
	return journal{clock: clock, hear: hear, denied: map[denial]*repeated{}, came: map[string]*Came{}}
}

func (j *journal) line(who, what string) { j.hear(wording.StationLine(j.clock(), who, what)) }

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

// came tells and counts what a phone sent: the answer's state and its verdict in one
// line.
func (s *Station) came(p Phone, state, line string) {
	s.log.count(p, state)
	s.log.line(p.Name, line)
}

func (j *journal) count(p Phone, state string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	c := j.came[p.ID]
	if c == nil {
		c = &Came{}
		j.came[p.ID] = c
	}
	c.Phone = p
	switch state {
	case stateAsks:
		c.Asks++
		c.Taken++
	case stateBad:
		c.NotTaken++
	default:
		c.Taken++
	}
}

// CameIn is what came in while the station ran, phone by phone.
func (s *Station) CameIn() (all []Came) {
	s.log.mu.Lock()
	defer s.log.mu.Unlock()
	for _, c := range s.log.came {
		all = append(all, *c)
	}
	slices.SortFunc(all, func(a, b Came) int { return a.Phone.Paired.Compare(b.Phone.Paired) })
	return all
}
