package main

import (
	"context"
	"crypto/rand"
	"errors"
	"io"
	"log/slog"
	"sync"
	"time"

	"benchtrail/api"
	"benchtrail/api/store"
	"benchtrail/web"
)

// serve answers until ctx ends.
func serve(ctx context.Context, cfg config, log *slog.Logger, stdout io.Writer) (err error) {
	folder, err := cfg.dataFolder("server")
	if err != nil {
		return err
	}
	secure, err := openHTTPS(cfg.HTTPS, folder, log, time.Now)
	if err != nil {
		return err
	}
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
	deps := api.Deps{
		Store: st, Clock: time.Now, Entropy: rand.Reader, Log: log, Version: version, Pages: web.Handler(), Mail: cfg.Mail,
	}
	ctx, stop := context.WithCancel(ctx)
	var letters sync.WaitGroup
	letters.Go(func() { api.SendLetters(ctx, deps) })
	defer letters.Wait()
	defer stop()
	return listen(ctx, cfg.Listen, secure, log, stdout, deps, "")
}
