package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/place"
)

// siteToday is what a site goes by today.
type siteToday struct {
	id    domain.ID
	today domain.Date // in its zone
	rules place.RoundRules
}

func (r *adviceReader) readSites(ctx context.Context) error {
	sites, err := siteTable().collect(ctx, r.tx, r.org, siteTable().selectFrom())
	if err != nil {
		return err
	}
	byID := map[domain.ID]siteToday{}
	for _, x := range sites {
		zone, err := x.Value.Location()
		if err != nil {
			return err
		}
		byID[x.Value.ID] = siteToday{id: x.Value.ID, today: domain.DateOf(r.now.In(zone)), rules: x.Value.RoundRules}
	}
	rows, err := r.tx.Query(ctx, `select id, site_id from house where organisation_id = $1`, r.org)
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	r.sites = map[domain.ID]siteToday{}
	var house, site domain.ID
	_, err = pgx.ForEachRow(rows, []any{&house, &site}, func() error { r.sites[house] = byID[site]; return nil })
	if err != nil {
		return fmt.Errorf("read the houses: %w", err)
	}
	return nil
}

// lotCounts leaves out lots, by their name in a query, that were withdrawn, by themselves
// or with their shipment. Those shipments are few and read once: an anti-join of all the
// clusters with them took as long as all the rest.
func lotCounts(lot string) string {
	return lot + `.withdrawn_because = '' and ` + `coalesce(` + lot + `.origin_id, ` + lot + `.id) <> all (array(
		select id from shipment where organisation_id = $1 and withdrawn_because <> ''))`
}
