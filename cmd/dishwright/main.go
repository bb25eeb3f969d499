// Command dishwright plans and proves the programs that cut radius dishes and
// their like on a hobby router, from a short job file.
//
// Exit codes: 0 all went well, 1 a bound is broken or a proof fails, 2 the input
// or the call is wrong, 130 it was told to stop.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure/strict"
)

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softMemoryLimit)
	}
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// softMemoryLimit is how many bytes are in use before the collector works harder: the
// largest jobs need about half as many at once, and no job file may take 500 MB.
const softMemoryLimit = 256 << 20

// run is the program as a function: it does what args say and returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return newApp(stdin, stdout, stderr).run(args)
}

func newApp(stdin io.Reader, stdout, stderr io.Writer) *app {
	return &app{in: stdin, out: tell.NewWriter(stdout), err: stderr, screen: stdout, look: picture.Detect(stdout, os.Getenv), runJob: shop.Run}
}

// run does what args say and returns the exit code. Told to stop, it takes back the
// output that is under way and returns at once, whatever the command is computing.
func (a *app) run(args []string) int {
	// A reader that goes away, as in `dishwright machines | head -1`, then shows as
	// an error of the write, and no output is left half made.
	signal.Ignore(syscall.SIGPIPE)
	told := []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGQUIT}
	if !signal.Ignored(syscall.SIGHUP) { // as under nohup
		told = append(told, syscall.SIGHUP)
	}
	ctx, stop := signal.NotifyContext(context.Background(), told...)
	defer stop()
	done := make(chan int, 1)
	go func() { done <- a.execute(ctx, args) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
		outset.Stop()
		a.progress.Load().End()
		a.playing.Load().Close()
		return a.stopped()
	}
}

// stopped says that the run was told to stop, and is the code for it.
func (a *app) stopped() int {
	a.told.Do(func() { fmt.Fprintln(a.err, "dishwright: stopped") })
	return tell.Stopped
}

// execute runs the command that args name. It is the one place where an error
// is printed and turned into an exit code.
func (a *app) execute(ctx context.Context, args []string) int {
	strict.Forget()
	root := newRootCmd(a)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	a.progress.Load().End()
	if failed := a.out.Failure(); failed != nil {
		err = failed
	}
	if errors.Is(err, context.Canceled) { // told so by a key
		return a.stopped()
	}
	tell.Print(a.err, err)
	return tell.Code(err)
}
