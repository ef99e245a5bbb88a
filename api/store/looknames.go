package store

import (
	"context"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

// LookNames are the names of what looks name, those of the person's sites.
type LookNames struct {
	Sites     map[domain.ID]place.Site
	Houses    map[domain.ID]place.House
	Blocks    map[domain.ID]place.Block
	Lots      map[domain.ID]stock.Lot
	Cultivars map[domain.ID]stock.Cultivar
	Suppliers map[domain.ID]stock.Supplier
	Organisms map[domain.ID]stock.Organism
}

// LookNames reads them.
func (s *Store) LookNames(ctx context.Context, a Actor) (LookNames, error) {
	var n LookNames
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		org := a.OrganisationID
		if n.Sites, err = byID(all(ctx, tx, org, siteTable(), "")); err != nil {
			return err
		}
		if n.Houses, err = byID(all(ctx, tx, org, houseTable(), "")); err != nil {
			return err
		}
		if n.Blocks, err = byID(all(ctx, tx, org, blockTable(), "")); err != nil {
			return err
		}
		if n.Lots, err = byID(all(ctx, tx, org, lotTable(), "")); err != nil {
			return err
		}
		if n.Cultivars, err = byID(all(ctx, tx, org, cultivarTable(), "")); err != nil {
			return err
		}
		if n.Suppliers, err = byID(all(ctx, tx, org, supplierTable(), "")); err != nil {
			return err
		}
		n.Organisms, err = byID(all(ctx, tx, org, organismTable(), ""))
		return err
	})
	return n, err
}

func byID[T any](records []Record[T], err error) (map[domain.ID]T, error) {
	out := make(map[domain.ID]T, len(records))
	for _, r := range records {
		out[r.ID] = r.Value
	}
	return out, err
}
