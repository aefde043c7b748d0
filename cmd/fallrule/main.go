// Command fallrule checks a plumbing layout against regional code profiles.
// This package reads flags and files and sets the exit code; it decides
// nothing about plumbing.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"fallrule/engine/finding"
	"fallrule/plugins/bundled"
	"fallrule/plugins/sdk"
)

func main() {
	// The tool starts itself as the process that serves the bundled plugins:
	// that must be seen before anything else is done.
	if sdk.IsChild() {
		sdk.Serve(bundled.Measurers()...)
		return
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// exit is an error that asks for an exit code and has been told already.
type exit struct{ code int }

func (e exit) Error() string { return fmt.Sprintf("exit %d", e.code) }

// run is the tool without the process: what main does and tests call.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	var asked exit
	switch {
	case err == nil:
		return finding.ExitMet
	case errors.As(err, &asked):
		return asked.code
	}
	fmt.Fprintln(errs, "fallrule:", err)
	return finding.ExitNoRun
}
