package sdk

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	goplugin "github.com/hashicorp/go-plugin"
)

// Command is a plugin's executable and the limits it is held to.
type Command struct {
	Path string
	Args []string
	// Env is added ("NAME=value") to the few variables a plugin gets:
	// inherited below and those of the handshake. No other reaches it.
	Env []string
	// SHA256 of the file, 32 bytes, or none. It is compared before the start;
	// whoever can write the file in that moment can still change it.
	SHA256 []byte
	// MemoryLimit is the resident size in bytes above which the process is
	// ended; none when 0. See MemoryLimited.
	MemoryLimit int64
	// StartTimeout bounds the start, Timeout each call. Zero: as below.
	StartTimeout time.Duration
	Timeout      time.Duration
}

// What holds when a Command says nothing.
const (
	DefaultStartTimeout = 10 * time.Second
	DefaultTimeout      = 30 * time.Second
)

// inherited are the variables of the host that a plugin gets: where to find
// programs and where to put files, no secrets.
var inherited = []string{"PATH", "TMPDIR", "TMP", "TEMP", "LANG", "SYSTEMROOT"}

// Self is the command that starts this program a second time, as a plugin. It
// refuses when the program never looked at IsChild, since the second one would
// then not either, and start a third.
func Self() (Command, error) {
	if !looked.Load() {
		return Command{}, errors.New("start this program as its own plugin: its main (or TestMain) does not ask sdk.IsChild first")
	}
	if IsChild() {
		return Command{}, errors.New("start this program as its own plugin: it is that plugin already")
	}
	path, err := os.Executable()
	if err != nil {
		return Command{}, fmt.Errorf("start this program as its own plugin: %w", err)
	}
	return Command{Path: path}, nil
}

// settled fills the defaults in and checks what can be checked before a start.
func (c Command) settled() (Command, error) {
	if c.StartTimeout == 0 {
		c.StartTimeout = DefaultStartTimeout
	}
	if c.Timeout == 0 {
		c.Timeout = DefaultTimeout
	}
	path, err := filepath.Abs(c.Path)
	if err != nil {
		return c, err
	}
	c.Path = path
	if c.SHA256 == nil {
		return c, nil
	}
	sum := goplugin.SecureConfig{Checksum: c.SHA256, Hash: sha256.New()}
	same, err := sum.Check(c.Path)
	if err != nil {
		return c, err
	}
	if !same {
		return c, fmt.Errorf("the SHA-256 of %s is not the one given", filepath.Base(c.Path))
	}
	return c, nil
}

func (c Command) environment(handshake []string) []string {
	var env []string
	for _, name := range inherited {
		if value, ok := os.LookupEnv(name); ok {
			env = append(env, name+"="+value)
		}
	}
	return append(append(env, c.Env...), handshake...)
}
