package main

import "os"

// atLength is how often a long test does something: in full where everything
// must hold before a change counts (SOAKTAG_CI=1, as .ci/run sets it), few
// times otherwise, so that nobody waits for what rarely changes.
func atLength(all, few int) int {
	if os.Getenv("SOAKTAG_CI") == "1" {
		return all
	}
	return few
}
