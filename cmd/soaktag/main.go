// Soaktag keeps an adhesive soak test honest from the first cut to the last
// break: it says beforehand what will go wrong, tells every specimen apart by
// a label that survives the bath, knows when each step was planned and
// happened, and prints no number more strongly than its history allows.
package main

import (
	"os"
	"os/signal"
	"runtime/debug"
	"time"
	_ "time/tzdata" // a study's zone must resolve on machines without a zone database
)

func main() {
	debug.SetGCPercent(400) // a run is short: memory is cheaper than collecting it early
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	ended := make(chan os.Signal, 1)
	signal.Notify(ended, endings()...)
	stop, done := make(chan struct{}), make(chan int, 1)
	go func() { done <- runUntil(stop, os.Args, os.Stdin, os.Stdout, os.Stderr, time.Now) }()
	select {
	case status := <-done:
		os.Exit(status)
	case <-interrupts:
	case <-ended:
	}
	close(stop)
	select {
	case status := <-done: // what was in hand is done, or says that it was interrupted
		os.Exit(status)
	case <-interrupts: // meant
	case <-time.After(grace):
	}
	os.Exit(exitInterrupted)
}
