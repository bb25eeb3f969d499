//go:build unix

package main

import (
	"os"
	"os/exec"
	"syscall"
)

// signals are those that a program is told to stop by.
var signals = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT}

func deafen(*exec.Cmd) {}

// send tells a command to stop.
func send(cmd *exec.Cmd, signal os.Signal) error { return cmd.Process.Signal(signal) }
