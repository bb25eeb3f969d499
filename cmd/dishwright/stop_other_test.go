//go:build !unix && !windows

package main

// runWaiting plays its part only where there are signals to be sent.
func runWaiting() int { return 0 }
