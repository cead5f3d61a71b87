package store

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"soaktag/tracker"
)

// workFaulty is work with a fault, or with many events at once.
func workFaulty(db *DB, name string, n int) error {
	fault, many := os.Getenv(workerFault), 1
	if m, err := strconv.Atoi(os.Getenv(workerMany)); err == nil {
		many = m
	}
	if fault == "syncs seldom" {
		if err := db.log.exec("PRAGMA synchronous=1"); err != nil {
			return err
		}
	}
	for i := 0; i < n; i += many {
		var ids []string
		events := make([]tracker.Event, 0, many)
		for k := range many {
			e := stageEvent(i+k, 10)
			e.ID = fmt.Sprintf("%s-%d", name, i+k)
			ids, events = append(ids, e.ID), append(events, e)
		}
		said := strings.Join(ids, "\n")
		if fault == "says before it records" {
			fmt.Println(said)
		}
		if _, err := db.Record(events...); err != nil {
			return err
		}
		if fault != "says before it records" {
			fmt.Println(said)
		}
	}
	return nil
}
