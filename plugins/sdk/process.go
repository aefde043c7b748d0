package sdk

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"github.com/hashicorp/go-hclog"
	goplugin "github.com/hashicorp/go-plugin"
	"github.com/hashicorp/go-plugin/runner"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	pb "fallrule/plugins/sdk/internal/measurepb"
)

// Process is a plugin that runs as a process of its own. It gets no standard
// input, and nothing it prints reaches the output of the tool.
type Process struct {
	command Command
	client  *goplugin.Client
	child   *child
	wire    *grpc.ClientConn
	settled chan struct{} // closed when the start has come to an end, good or bad
	close   sync.Once
}

var _ Plugin = (*Process)(nil)

// Start runs a command and waits until it answers as a plugin. The caller
// closes the process; the context bounds the start alone.
//
// The two talk over a unix socket in a folder that only this user can enter.
// Certificates (62 ms at each start) would add nothing to that and are left
// out; on Windows, where the socket is a TCP port, they are used.
func Start(ctx context.Context, c Command) (*Process, error) {
	c, err := c.settled()
	if err != nil {
		return nil, fmt.Errorf("start plugin %s: %w", c.Path, err)
	}
	p := &Process{command: c, child: newChild(c), settled: make(chan struct{})}
	p.client = goplugin.NewClient(p.config())
	ctx, cancel := context.WithTimeoutCause(ctx, c.StartTimeout, fmt.Errorf("did not answer within %v", c.StartTimeout))
	defer cancel()
	if err := p.connect(ctx); err != nil {
		if ctx.Err() == nil {
			p.child.wait(exitGrace) // go-plugin has ended it, or it has itself
		}
		why := p.child.diagnose(err)
		p.abandon()
		return nil, fmt.Errorf("start plugin %s: %w", c.Path, why)
	}
	return p, nil
}

// abandon closes a plugin that did not start. A socket it still holds may keep
// go-plugin waiting for some seconds more; nobody need wait with it.
func (p *Process) abandon() {
	closed := make(chan struct{})
	go func() {
		defer close(closed)
		_ = p.Close()
	}()
	select {
	case <-closed:
	case <-time.After(closeGrace):
	}
}

func (p *Process) config() *goplugin.ClientConfig {
	return &goplugin.ClientConfig{
		HandshakeConfig: handshake,
		Plugins:         goplugin.PluginSet{service: &wirePlugin{}},
		RunnerFunc: func(_ hclog.Logger, spec *exec.Cmd, dir string) (runner.Runner, error) {
			return p.child, p.child.prepare(spec.Env, dir)
		},
		AllowedProtocols: []goplugin.Protocol{goplugin.ProtocolGRPC},
		AutoMTLS:         runtime.GOOS == "windows",
		SkipHostEnv:      true,
		StartTimeout:     p.command.StartTimeout,
		Stderr:           &p.child.words,
		Logger:           hclog.NewNullLogger(),
		GRPCDialOptions: []grpc.DialOption{grpc.WithDefaultCallOptions(
			grpc.MaxCallRecvMsgSize(MaxMessage), grpc.MaxCallSendMsgSize(MaxMessage))},
	}
}

// connect starts the process and dispenses the service. go-plugin's start
// knows no context, so the process is ended when the context is.
func (p *Process) connect(ctx context.Context) error {
	stop := context.AfterFunc(ctx, func() { p.child.end(context.Cause(ctx)) })
	defer stop()
	done := make(chan error, 1)
	go func() {
		defer close(p.settled)
		protocol, err := p.client.Client()
		if err != nil {
			done <- err
			return
		}
		raw, err := protocol.Dispense(service)
		if err == nil {
			p.wire = raw.(*grpc.ClientConn)
		}
		done <- err
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

// Describe lists the measurers of the process.
func (p *Process) Describe(ctx context.Context) ([]Description, error) {
	ctx, cancel := p.deadline(ctx)
	defer cancel()
	w, err := pb.NewMeasurerClient(p.wire).Describe(ctx, &pb.DescribeRequest{}, grpc.MaxCallRecvMsgSize(maxDescribe))
	if err != nil {
		return nil, p.explain(ctx, "describe", err)
	}
	return descriptionsFromWire(w), nil
}

// Measure sends the layout and returns the answers. A process that failed
// once is ended: no later call will do better.
func (p *Process) Measure(ctx context.Context, r Request) (Answers, error) {
	ctx, cancel := p.deadline(ctx)
	defer cancel()
	request, err := requestToWire(r)
	if err != nil {
		return Answers{}, err
	}
	var answers Answers
	err = p.wire.Invoke(ctx, pb.Measurer_Measure_FullMethodName, request, &answers, grpc.ForceCodec(reading{mostAnswers(r)}))
	if err != nil {
		return Answers{}, p.explain(ctx, "measure", err)
	}
	return answers, nil
}

func (p *Process) deadline(ctx context.Context) (context.Context, context.CancelFunc) {
	return context.WithTimeoutCause(ctx, p.command.Timeout, fmt.Errorf("no answer within %v", p.command.Timeout))
}

// explain says in the tool's words why a call failed, and ends the process.
func (p *Process) explain(ctx context.Context, call string, err error) error {
	if ctx.Err() != nil {
		p.child.end(context.Cause(ctx))
		return fmt.Errorf("%s: %w", call, context.Cause(ctx))
	}
	if status.Code(err) == codes.Unavailable {
		p.child.wait(exitGrace)
	}
	why := p.child.diagnose(errors.New(status.Convert(err).Message()))
	p.child.end(why)
	return fmt.Errorf("%s: %w", call, why)
}

const (
	exitGrace  = 500 * time.Millisecond // for the exit to be noticed after the connection broke
	closeGrace = time.Second            // for a plugin to end by itself when told to
)

// Close tells the process to end, ends it when it does not, and waits.
func (p *Process) Close() error {
	p.close.Do(func() {
		late := time.AfterFunc(closeGrace, func() { p.child.end(errors.New("did not end when told to")) })
		defer late.Stop()
		<-p.settled
		p.client.Kill()
		p.child.end(nil)
		if dir := p.child.folder(); dir != "" {
			_ = os.RemoveAll(dir) // go-plugin leaves it when the start failed
		}
	})
	return nil
}

// Pid of the process, 0 before it runs.
func (p *Process) Pid() int { return p.child.pid() }

// Name is the file's name.
func (p *Process) Name() string { return filepath.Base(p.command.Path) }
