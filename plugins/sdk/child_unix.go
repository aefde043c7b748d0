//go:build unix && !linux

package sdk

import "syscall"

// attributes puts the child into a group of its own, out of reach of the
// terminal's interrupt. When the host is killed, the child's own watch ends it.
func attributes() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

// MemoryLimited tells whether memory limits are enforced on this system.
func MemoryLimited() bool { return false }

func resident(int) int64 { return 0 }
