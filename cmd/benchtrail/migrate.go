package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
)

// migrate brings the database up to date and ends.
func migrate(ctx context.Context, cfg config, log *slog.Logger, stdout io.Writer) error {
	db, err := openDatabase(ctx, cfg, log, "server")
	if err != nil {
		return err
	}
	if err := db.close(); err != nil {
		return err
	}
	_, err = fmt.Fprintln(stdout, "The database is up to date.")
	return err
}
