package wording

import (
	"fmt"
	"path/filepath"
)

// ShortHead is enough of a log's head hash to compare two files by eye.
func ShortHead(head string) string { return head[:min(len(head), 16)] }

// StoodThen says that a log goes on from where it stood when something was printed.
func StoodThen(head string, event, events int64) string {
	text := fmt.Sprintf("head %s is that of event %d: all up to it is as it was then", head, event)
	if since := events - event; since > 0 {
		text += ", and " + Counted(int(since), "event", "events") + " came since"
	}
	return text
}

// NeverStood says that it does not.
func NeverStood(head string) string {
	return fmt.Sprintf("no event has the head %s: something up to it was changed or cut off since that was printed, or it is of another study", head)
}

// InJournal says that the newest events of a study are not in its file yet.
func InJournal(file string, events int64) string {
	stands, go_ := "stand", "go"
	if events == 1 {
		stands, go_ = "stands", "goes"
	}
	return fmt.Sprintf("%s still %s in the journal %s-wal, and %s into the file when whoever has it open pauses or ends; leave the two together",
		Counted(int(events), "event", "events"), stands, filepath.Base(file), go_)
}
