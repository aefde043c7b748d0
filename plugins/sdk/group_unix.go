//go:build unix

package sdk

import (
	"os"
	"syscall"
)

// endGroup ends a process and what it started. It must not have been waited
// for: until then its number is its own.
func endGroup(p *os.Process) { _ = syscall.Kill(-p.Pid, syscall.SIGKILL) }
