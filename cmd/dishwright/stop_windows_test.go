package main

import (
	"os"
	"os/exec"
	"syscall"

	"golang.org/x/sys/windows"
)

// signals are those that a program is told to stop by: a console's Ctrl-Break, for
// Ctrl-C cannot be sent to one program alone.
var signals = []os.Signal{os.Interrupt}

// deafen keeps the test itself out of what is sent to the command.
func deafen(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{CreationFlags: windows.CREATE_NEW_PROCESS_GROUP}
}

// send tells a command to stop.
func send(cmd *exec.Cmd, _ os.Signal) error {
	return windows.GenerateConsoleCtrlEvent(windows.CTRL_BREAK_EVENT, uint32(cmd.Process.Pid))
}
