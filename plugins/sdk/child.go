package sdk

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"time"

	"github.com/hashicorp/go-plugin/runner"
)

// child runs the executable for go-plugin, whose own runner hands the tool's
// standard input on and knows neither process groups nor memory limits.
type child struct {
	command        Command
	words          lastWords
	cmd            *exec.Cmd
	stdout, stderr io.ReadCloser
	done           chan struct{} // closed when the process is gone

	lock    sync.Mutex
	dir     string // of the socket
	running bool
	ended   error // why the host ended it, if it told
	killed  bool  // by the host
	exit    error // how it ended
}

var _ runner.Runner = (*child)(nil)

func newChild(c Command) *child { return &child{command: c, done: make(chan struct{})} }

// prepare is called once, with the handshake's variables and the folder that
// the socket goes into.
func (c *child) prepare(handshake []string, dir string) error {
	c.lock.Lock()
	defer c.lock.Unlock()
	c.dir = dir
	c.cmd = exec.Command(c.command.Path, c.command.Args...)
	c.cmd.Env = c.command.environment(handshake)
	c.cmd.SysProcAttr = attributes()
	var err error
	if c.stdout, err = c.cmd.StdoutPipe(); err != nil {
		return err
	}
	c.stderr, err = c.cmd.StderrPipe()
	return err
}

// Start runs the process. Where the system ends a child with its parent, it
// looks at the thread that started it: that thread is kept.
func (c *child) Start(context.Context) error {
	started := make(chan error)
	go func() {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := c.launch()
		started <- err
		if err == nil {
			<-c.done
		}
	}()
	if err := <-started; err != nil {
		return err
	}
	if c.command.MemoryLimit > 0 && MemoryLimited() {
		go c.watchMemory()
	}
	return nil
}

func (c *child) launch() error {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.ended != nil {
		return c.ended
	}
	if err := c.cmd.Start(); err != nil {
		return err
	}
	c.running = true
	return nil
}

const sampleInterval = 50 * time.Millisecond

// watchMemory samples the resident size of the process itself; what it starts
// in its turn is not counted. Address space says nothing here: a Go program
// of 14 MB reserves a thousand.
func (c *child) watchMemory() {
	tick := time.NewTicker(sampleInterval)
	defer tick.Stop()
	for {
		select {
		case <-c.done:
			return
		case <-tick.C:
			if resident(c.pid()) > c.command.MemoryLimit {
				c.end(fmt.Errorf("used more than its %d MiB of memory", c.command.MemoryLimit>>20))
				return
			}
		}
	}
}

// Wait is called when both outputs have ended, as they do when the process
// ends. What is left of its group goes with it.
func (c *child) Wait(context.Context) error {
	c.lock.Lock()
	if c.running {
		endGroup(c.cmd.Process)
	}
	c.lock.Unlock()
	err := c.cmd.Wait()
	c.lock.Lock()
	c.running, c.exit = false, err
	c.lock.Unlock()
	close(c.done)
	return err
}

// end kills the group and remembers the first reason. The pipes are closed so
// that a stray grandchild that holds them cannot keep the host waiting.
func (c *child) end(why error) {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.ended == nil {
		c.ended = why
	}
	if !c.running {
		return
	}
	c.killed = true
	endGroup(c.cmd.Process)
	_, _ = c.stdout.Close(), c.stderr.Close()
}

// Kill is go-plugin's way to end it.
func (c *child) Kill(context.Context) error {
	c.end(nil)
	return nil
}

// wait waits for the process to be gone, but not longer than that.
func (c *child) wait(most time.Duration) {
	if c.pid() == 0 {
		return
	}
	select {
	case <-c.done:
	case <-time.After(most):
	}
}

// diagnose picks what best explains a failure: why the host ended the
// process, how it ended by itself, or else the error of the call.
func (c *child) diagnose(err error) error {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.ended != nil {
		return c.ended
	}
	why := oneLine(err.Error())
	if gone := !c.running && c.exit != nil; gone && (!c.killed || c.cmd.ProcessState.ExitCode() >= 0) {
		why = "ended: " + c.exit.Error()
	}
	if said := c.words.String(); said != "" {
		why += "; it said: " + said
	}
	return errors.New(why)
}

func (c *child) pid() int {
	c.lock.Lock()
	defer c.lock.Unlock()
	if !c.running {
		return 0
	}
	return c.cmd.Process.Pid
}

func (c *child) folder() string {
	c.lock.Lock()
	defer c.lock.Unlock()
	return c.dir
}

// PluginToHost refuses an address that the plugin has no business to send the
// host to.
func (c *child) PluginToHost(network, address string) (string, string, error) {
	local := network == "tcp" && runtime.GOOS == "windows"
	if own := network == "unix" && filepath.Dir(address) == c.folder(); !own && !local {
		return "", "", errors.New("it listens outside the folder it was given for its socket")
	}
	return network, address, nil
}

// HostToPlugin changes nothing: both see the same file system.
func (c *child) HostToPlugin(network, address string) (string, string, error) {
	return network, address, nil
}

// Stdout carries the handshake.
func (c *child) Stdout() io.ReadCloser { return c.stdout }

// Stderr carries the plugin's log.
func (c *child) Stderr() io.ReadCloser { return c.stderr }

// Name is the path.
func (c *child) Name() string { return c.command.Path }

// ID is the process id, empty when it never ran.
func (c *child) ID() string {
	if c.cmd == nil || c.cmd.Process == nil {
		return ""
	}
	return strconv.Itoa(c.cmd.Process.Pid)
}

// Diagnose adds nothing; see diagnose.
func (c *child) Diagnose(context.Context) string { return "" }
