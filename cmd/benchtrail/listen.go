package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"time"

	"benchtrail/api"
)

// listen serves the API and the pages at the address until ctx ends, by https
// unless secure is nil.
func listen(ctx context.Context, address string, secure *https, log *slog.Logger, stdout io.Writer, deps api.Deps, greeting string) error {
	handler, err := api.New(deps)
	if err != nil {
		return err
	}
	return answer(ctx, address, secure, log, stdout, handler, greeting)
}

// answer binds, says where, and serves until ctx ends; requests under way get
// ten seconds to finish.
func answer(ctx context.Context, address string, secure *https, log *slog.Logger, stdout io.Writer, handler http.Handler, greeting string) error {
	listener, err := bind(ctx, address)
	if err != nil {
		return err
	}
	main := newServer(handler, log)
	servers, serve := []*http.Server{main}, []func() error{func() error { return main.Serve(listener) }}
	at := "http://" + listener.Addr().String()
	if secure != nil {
		_, port, err := net.SplitHostPort(listener.Addr().String())
		if err != nil {
			return errors.Join(err, listener.Close())
		}
		at = "https://" + listener.Addr().String()
		if len(secure.names) > 0 {
			at = "https://" + hostPort(secure.names[0], port)
		}
		main.Handler, main.TLSConfig = secure.strict(handler), secure.config()
		serve[0] = func() error { return main.ServeTLS(listener, "", "") }
		if secure.redirect != "" {
			plain, err := bind(ctx, secure.redirect)
			if err != nil {
				return errors.Join(err, listener.Close())
			}
			leading := newServer(secure.fromHTTP(port), log)
			servers, serve = append(servers, leading), append(serve, func() error { return leading.Serve(plain) })
			log.Info("leading from http to https", "address", plain.Addr().String())
		}
		go secure.watch(ctx)
	}
	if _, err := fmt.Fprintf(stdout, "\nBenchtrail is at %s\n%s", at, greeting); err != nil {
		return err
	}
	log.Info("serving", "address", listener.Addr().String(), "https", secure != nil, "version", version)
	ended := make(chan error, len(serve))
	for _, s := range serve {
		go func() { ended <- s() }()
	}
	select {
	case <-ctx.Done():
	case err = <-ended:
		err = fmt.Errorf("serve: %w", err)
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	for _, s := range servers {
		if e := s.Shutdown(grace); e != nil {
			err = errors.Join(err, fmt.Errorf("finish the requests under way: %w", e))
		}
	}
	if err == nil {
		log.Info("stopped")
	}
	return err
}

func bind(ctx context.Context, address string) (net.Listener, error) {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fmt.Errorf("listen on %s: %w", address, err)
	}
	return listener, nil
}

func newServer(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}
