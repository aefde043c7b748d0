//go:build !unix

package sdk

import (
	"os"
	"syscall"
)

func attributes() *syscall.SysProcAttr { return nil }

// MemoryLimited tells whether memory limits are enforced on this system.
func MemoryLimited() bool { return false }

func resident(int) int64 { return 0 }

func endGroup(p *os.Process) { _ = p.Kill() }
