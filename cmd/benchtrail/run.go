package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
)

// version is set when a release is built: -ldflags "-X main.version=…".
var version = "development"

const usage = `benchtrail follows every shipment of plant cuttings from the dock to the truck.

  benchtrail serve    serve the pages and the API
  benchtrail demo     serve an invented season to try things on, on this machine only
  benchtrail migrate  bring the database up to date
  benchtrail account  make an organisation with its first owner
  benchtrail trial    measure plan, estimates, forecast and advice on invented seasons
  benchtrail version  say which version this is

  --listen host:port  the address to serve on
  --data folder       where the private Postgres keeps its data
  --tls-cert file     serve https with this certificate (PEM, with the chain) …
  --tls-key file      … and its private key (serve only)

The environment can set the same and more; README.md lists it.
`

// run is the whole program: it returns when its work is done or ctx ends.
func run(ctx context.Context, args []string, getenv func(string) string, stdin io.Reader, stdout, stderr io.Writer) error {
	if len(args) == 0 {
		_, err := io.WriteString(stderr, usage)
		return errors.Join(errors.New("say what to do"), err)
	}
	command, rest := args[0], args[1:]
	if command == "help" || command == "-h" || command == "--help" {
		_, err := io.WriteString(stdout, usage)
		return err
	}
	cfg, err := configFrom(getenv)
	if err != nil {
		return err
	}
	flags := flag.NewFlagSet("benchtrail "+command, flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.StringVar(&cfg.Listen, "listen", cfg.Listen, "host:port to serve on")
	flags.StringVar(&cfg.Data, "data", cfg.Data, "folder of the private Postgres")
	if command == "serve" {
		flags.StringVar(&cfg.HTTPS.Cert, "tls-cert", cfg.HTTPS.Cert, "certificate file for https")
		flags.StringVar(&cfg.HTTPS.Key, "tls-key", cfg.HTTPS.Key, "its private key")
	}
	var account accountFlags
	if command == "account" {
		account.register(flags)
	}
	var trial trialFlags
	if command == "trial" {
		trial.register(flags)
	}
	if err := flags.Parse(rest); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("%s takes no %q", command, flags.Arg(0))
	}
	log := cfg.logger(stderr)
	switch command {
	case "serve":
		return serve(ctx, cfg, log, stdout)
	case "demo":
		return demo(ctx, cfg, log, stdout)
	case "migrate":
		return migrate(ctx, cfg, log, stdout)
	case "account":
		return makeAccount(ctx, cfg, log, account, stdin, stdout)
	case "trial":
		return runTrial(ctx, trial, stdout, stderr)
	case "version":
		_, err := fmt.Fprintln(stdout, "benchtrail", version)
		return err
	}
	_, err = io.WriteString(stderr, usage)
	return errors.Join(fmt.Errorf("there is no command %q", command), err)
}
