package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"benchtrail/api"
	"benchtrail/api/store"
	"benchtrail/web"
)

// serve answers until ctx ends.
func serve(ctx context.Context, cfg config, log *slog.Logger, stdout io.Writer) (err error) {
	db, err := openDatabase(ctx, cfg, log, "server")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.close()) }()
	pool, err := db.pool(ctx)
	if err != nil {
		return err
	}
	defer pool.Close()
	st := store.New(pool, time.Now)
	installation, err := st.Installation(ctx)
	if err != nil {
		return err
	}
	if installation.Demo {
		return errors.New("this database belongs to a demo, whose passwords are published; give serve another one")
	}
	return listen(ctx, cfg, log, stdout, api.Deps{
		Store: st, Clock: time.Now, Entropy: rand.Reader, Log: log, Version: version, Pages: web.Handler(),
	}, "")
}

// listen binds, says where, and serves until ctx ends; requests under way get
// ten seconds to finish.
func listen(ctx context.Context, cfg config, log *slog.Logger, stdout io.Writer, deps api.Deps, greeting string) error {
	handler, err := api.New(deps)
	if err != nil {
		return err
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", cfg.Listen)
	if err != nil {
		return fmt.Errorf("listen on %s: %w", cfg.Listen, err)
	}
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	if _, err := fmt.Fprintf(stdout, "\nBenchtrail is at http://%s\n%s", listener.Addr(), greeting); err != nil {
		return err
	}
	log.Info("serving", "address", listener.Addr().String(), "version", version)
	var stopping atomic.Bool
	done := make(chan error, 1)
	go func() {
		<-ctx.Done()
		stopping.Store(true)
		grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
		defer cancel()
		done <- server.Shutdown(grace)
	}()
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) || !stopping.Load() {
		return fmt.Errorf("serve: %w", err)
	}
	if err := <-done; err != nil {
		return fmt.Errorf("finish the requests under way: %w", err)
	}
	log.Info("stopped")
	return nil
}
