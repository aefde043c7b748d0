package sdk

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"syscall"
)

// attributes puts the child into a group of its own, out of reach of the
// terminal's interrupt, and has the kernel end it with its parent.
func attributes() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

// MemoryLimited tells whether memory limits are enforced on this system.
func MemoryLimited() bool { return true }

// resident is the resident size of a process in bytes; 0 when it cannot be
// told, as when the process is gone.
func resident(pid int) int64 {
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/statm", pid))
	if err != nil {
		return 0
	}
	fields := bytes.Fields(b)
	if len(fields) < 2 {
		return 0
	}
	pages, err := strconv.ParseInt(string(fields[1]), 10, 64)
	if err != nil {
		return 0
	}
	return pages * int64(os.Getpagesize())
}
