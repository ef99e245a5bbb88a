// Benchtrail follows every shipment of plant cuttings from the dock to the
// truck. This is its one program; README.md says how to use it.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // sites' zones on machines that have no list of zones
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "benchtrail:", err)
		os.Exit(1)
	}
}
