package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// untilInterrupted gives a context that ends with Ctrl-C (or SIGTERM), so that a command takes its lock away and writes nothing by halves. A second
// Ctrl-C ends the program at once.
func untilInterrupted() (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}
