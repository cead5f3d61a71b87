package store

import "crypto/sha256"

const (
	applicationID = 0x736f616b // "soak", in the file's header

	// The formats, user_version in the file's header. A study moves on to the
	// second with its first photograph or amendment of its plan, and to the third
	// with the first entry that was written in another notebook, so that a program
	// that knows nothing of these still opens every study without, and says
	// "newer" of the rest.
	plainFormat  = 1
	photoFormat  = 2
	mergedFormat = 3
)

// chainStart names h₀, the hash before the first event.
const chainStart = "soaktag event log 1"

// schema is the whole file: the log, one row that says where the log ends (so
// that a tail that was cut off is missed), and guards against accidents. The
// guards stop a buggy program, not an owner with a database shell: that is
// what the chain is for.
const schema = `
CREATE TABLE event(
  seq  INTEGER PRIMARY KEY,
  id   TEXT NOT NULL UNIQUE,
  body BLOB NOT NULL,
  hash BLOB NOT NULL CHECK(length(hash) = 32)
) STRICT;
CREATE TABLE head(
  one   INTEGER PRIMARY KEY CHECK(one = 1),
  count INTEGER NOT NULL,
  hash  BLOB NOT NULL CHECK(length(hash) = 32)
) STRICT;
CREATE TRIGGER event_no_update BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'the event log is append-only'); END;
CREATE TRIGGER event_no_delete BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'the event log is append-only'); END;
CREATE TRIGGER event_no_replace BEFORE INSERT ON event
WHEN EXISTS(SELECT 1 FROM event WHERE seq = NEW.seq OR id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the event log is append-only'); END;
`

// photoSchema is what a study has besides from its first photograph on. The
// hash that is a photo's name stands in the log, and so in the chain.
const photoSchema = `
CREATE TABLE photos(
  sha256 BLOB PRIMARY KEY NOT NULL CHECK(length(sha256) = 32),
  bytes  BLOB NOT NULL
) STRICT;
CREATE TRIGGER photos_no_update BEFORE UPDATE ON photos
BEGIN SELECT RAISE(ABORT, 'photographs are only added'); END;
CREATE TRIGGER photos_no_delete BEFORE DELETE ON photos
BEGIN SELECT RAISE(ABORT, 'photographs are only added'); END;
CREATE TRIGGER photos_no_replace BEFORE INSERT ON photos
WHEN EXISTS(SELECT 1 FROM photos WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE(ABORT, 'photographs are only added'); END;
`

// A hash is one link of the chain.
type hash [sha256.Size]byte

// A link is a place in the log: the number of events up to it and the hash of
// the last one.
type link struct {
	count int64
	hash  hash
}

// start is the place before the first event.
func start() link { return link{hash: sha256.Sum256([]byte(chainStart))} }

// next returns the place after an event with the given bytes,
//
//	hₙ = SHA-256(hₙ₋₁ ‖ bodyₙ)
//
// buf is scratch space that may be reused from call to call.
func (l link) next(body []byte, buf *[]byte) link {
	*buf = append(append((*buf)[:0], l.hash[:]...), body...)
	return link{l.count + 1, sha256.Sum256(*buf)}
}
