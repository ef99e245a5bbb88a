package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"runtime"
	"time"

	"benchtrail/domain/simulation"
)

type trialFlags struct {
	seasons int
	seed    uint64
}

func (f *trialFlags) register(flags *flag.FlagSet) {
	flags.IntVar(&f.seasons, "seasons", 200, "how many seasons to invent")
	flags.Uint64Var(&f.seed, "seed", 1, "what they are drawn from; the same seed gives the same table")
}

// runTrial prints what invented seasons show of plan, estimates, forecast and
// advice. How long it took goes to stderr, so that tables can be compared.
func runTrial(ctx context.Context, f trialFlags, stdout, stderr io.Writer) error {
	started := time.Now()
	trial, err := simulation.NewTrial(ctx, f.seasons, f.seed, runtime.GOMAXPROCS(0))
	if err != nil {
		return fmt.Errorf("trial: %w", err)
	}
	if _, err := io.WriteString(stdout, trial.String()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stderr, "It took %s.\n", time.Since(started).Round(time.Second/10))
	return err
}
