package main

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/api"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/simulation"
	"benchtrail/web"
)

const (
	demoPassword     = "cuttings-demo"
	demoDomain       = "@demo.example"
	demoOrganisation = "Larkfield Growers (invented)"
)

// demoStart is what the demo's clock shows when its season is made: a Monday
// morning, the day before the mid-September decision is due.
func demoStart() time.Time { return time.Date(2026, time.September, 14, 13, 0, 0, 0, time.UTC) }

// demo serves an invented season on this machine only. Its database is its own:
// demo accounts exist nowhere else, and a database in use is refused.
func demo(ctx context.Context, cfg config, log *slog.Logger, stdout io.Writer) (err error) {
	if !isLoopback(cfg.Listen) {
		return fmt.Errorf("the demo's passwords are published, so it listens on this machine only, not on %s", cfg.Listen)
	}
	db, err := openDatabase(ctx, cfg, log, "demo")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.close()) }()
	owner, err := pgx.Connect(ctx, db.owner())
	if err != nil {
		return fmt.Errorf("connect to the demo's database: %w", err)
	}
	if err := store.MarkDemo(ctx, owner, time.Now(), demoStart()); err != nil {
		return errors.Join(err, owner.Close(ctx))
	}
	pool, err := db.pool(ctx)
	if err != nil {
		return errors.Join(err, owner.Close(ctx))
	}
	defer pool.Close()
	installation, err := store.New(pool, time.Now).Installation(ctx)
	if err == nil && !installation.Filled {
		filler := filler{out: stdout}
		filler.store = store.New(pool, filler.now)
		if err = filler.fill(ctx); err == nil {
			err = store.MarkFilled(ctx, owner)
		}
	}
	if err = errors.Join(err, owner.Close(ctx)); err != nil {
		return err
	}
	clock := func() time.Time { return installation.ClockAt.Add(time.Since(installation.ClockFrom)) }
	greeting := "\nAn invented season on an invented clock. Sign in as one of\n"
	for _, who := range []string{simulation.Receiver, simulation.Grower, simulation.Owner} {
		greeting += "  " + who + demoDomain + "\n"
	}
	greeting += "with the password " + demoPassword + "\n"
	return listen(ctx, cfg.Listen, nil, log, stdout, api.Deps{
		Store: store.New(pool, clock), Clock: clock, Entropy: rand.Reader, Log: log, Version: version, Demo: true,
		Pages: web.Handler(),
	}, greeting)
}

// filler records the invented season the way people would have, each thing at
// its moment and by its person. It may be cut short at any point: the same
// season is made again and what is already there is quietly repeated.
type filler struct {
	store  *store.Store
	out    io.Writer
	at     time.Time
	actors map[string]store.Actor
}

func (f *filler) now() time.Time { return f.at }

func (f *filler) fill(ctx context.Context) error {
	f.at = demoStart().AddDate(0, -4, 0)
	organisation := demoID("organisation")
	people := simulation.People()
	ids := map[string]domain.ID{}
	f.actors = map[string]store.Actor{}
	for _, p := range people {
		ids[p.Key] = demoID("person " + p.Key)
	}
	hash, err := api.HashPassword(demoPassword, rand.Reader)
	if err != nil {
		return err
	}
	for _, p := range people {
		if p.Key == simulation.Owner {
			if f.actors[p.Key], err = f.found(ctx, organisation, ids[p.Key], p, hash); err != nil {
				return err
			}
		}
	}
	owner := f.actors[simulation.Owner]
	organisms, err := f.store.OrganismsByEPPO(ctx, owner)
	if err != nil {
		return err
	}
	season, err := simulation.NewSeason(simulation.DemoSeed, demoStart(), simulation.Known{Organisms: organisms, People: ids})
	if err != nil {
		return fmt.Errorf("invent the season: %w", err)
	}
	var sites []domain.ID
	shown := -1
	for i, event := range season.Events {
		if site, ok := event.Record.(place.Site); ok {
			sites = append(sites, site.ID)
		} else if len(f.actors) < len(people) {
			if err := f.hire(ctx, owner, people, ids, sites, hash); err != nil {
				return err
			}
		}
		f.at = event.At
		by, ok := f.actors[event.By]
		if !ok {
			return fmt.Errorf("the season has a record by %q, whom nobody knows", event.By)
		}
		if err := api.Record(ctx, f.store, by, event.Corrects, event.Record); err != nil {
			return fmt.Errorf("event %d of %s: %w", i, event.At.Format(time.DateOnly), err)
		}
		if percent := 100 * (i + 1) / len(season.Events); percent != shown {
			shown = percent
			if _, err := fmt.Fprintf(f.out, "\rFilling the demo: %3d %% of %d records, now at %s", percent, len(season.Events), event.At.Format("2 January")); err != nil {
				return err
			}
		}
	}
	_, err = fmt.Fprintln(f.out)
	return err
}

// found makes the organisation with its owner, unless an earlier try did.
func (f *filler) found(ctx context.Context, organisation, id domain.ID, p simulation.Person, hash string) (store.Actor, error) {
	owner := store.Account{ID: id, Email: p.Key + demoDomain, Name: p.Name, Language: "en", PasswordHash: hash}
	a, err := f.store.CreateOrganisation(ctx, organisation, demoOrganisation, owner)
	if errors.Is(err, store.ErrConflict) {
		a = store.Actor{
			PersonID: id, Name: p.Name, OrganisationID: organisation, Organisation: demoOrganisation,
			Roles: []store.SiteRole{{Role: store.Owner}},
		}
		return a, nil
	}
	return a, err
}

// hire makes the accounts of the others once the sites they work at are there.
func (f *filler) hire(ctx context.Context, owner store.Actor, people []simulation.Person, ids map[string]domain.ID, sites []domain.ID, hash string) error {
	for _, p := range people {
		if _, ok := f.actors[p.Key]; ok {
			continue
		}
		account := store.Account{ID: ids[p.Key], Email: p.Key + demoDomain, Name: p.Name, Language: "en", PasswordHash: hash}
		for _, site := range p.Sites {
			account.Roles = append(account.Roles, store.SiteRole{Role: store.Role(p.Role), SiteID: sites[site]})
		}
		put := store.Put{ID: account.ID, Content: []byte(`{"made_with":"demo"}`)}
		if _, err := f.store.PutAccount(ctx, owner, put, account); err != nil {
			return fmt.Errorf("account of %s: %w", p.Key, err)
		}
		f.actors[p.Key] = store.Actor{
			PersonID: account.ID, Name: p.Name, OrganisationID: owner.OrganisationID, Organisation: owner.Organisation, Roles: account.Roles,
		}
	}
	return nil
}

// demoID gives the same id for the same name every time.
func demoID(name string) domain.ID {
	sum := sha256.Sum256([]byte("benchtrail demo " + name))
	var id domain.ID
	copy(id[:], sum[:])
	id[6] = id[6]&0x0f | 0x80 // UUIDv8 (RFC 9562, section 5.8): made our own way
	id[8] = id[8]&0x3f | 0x80
	return id
}
