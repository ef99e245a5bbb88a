package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func holdTable() table[stock.Hold] {
	return table[stock.Hold]{
		name:    "hold",
		columns: `t.id, t.scope, t.scope_id, t.kind, t.from_at, t.to_at, t.reason, t.paper_number, t.withdrawn_because, t.site_id`,
		fields: func(h *stock.Hold) []any {
			return []any{&h.ID, &h.Scope, &h.ScopeID, &h.Kind, &h.From, &h.To, &h.Reason, &h.PaperNumber, &h.Withdrawn, &h.SiteID}
		},
	}
}

// PutHold stores a hold and works out anew what it keeps where it is, and what was
// moved in spite of it. A crop is held at every site, so that takes an owner of all.
func (s *Store) PutHold(ctx context.Context, a Actor, p Put, h stock.Hold) (Saved[stock.Hold], error) {
	return save(ctx, s, a, p, holdTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		h := h // the transaction may be tried again
		if st.version > 1 {
			var was stock.Hold
			const q = `select scope, scope_id from hold where organisation_id = $1 and id = $2`
			if err := tx.QueryRow(ctx, q, st.org, st.id).Scan(&was.Scope, &was.ScopeID); err != nil {
				return h.SiteID, missing(err, "hold")
			}
			if was.Scope != h.Scope || was.ScopeID != h.ScopeID {
				return h.SiteID, domain.Faults{{Path: "/scope_id", Code: "not_changeable", Detail: "a hold stays on what it was laid on; withdraw it and lay another"}}
			}
		}
		var err error
		if h.SiteID, err = siteHeld(ctx, tx, a, st.org, h); err != nil {
			return h.SiteID, err
		}
		sites := []domain.ID{h.SiteID}
		if h.Scope == stock.ScopeCrop {
			rows, err := tx.Query(ctx, `select id from site where organisation_id = $1 order by id`, st.org)
			if err != nil {
				return h.SiteID, fmt.Errorf("read the sites: %w", err)
			}
			if sites, err = pgx.CollectRows(rows, pgx.RowTo[domain.ID]); err != nil {
				return h.SiteID, fmt.Errorf("read the sites: %w", err)
			}
		}
		for _, site := range sites { // in one order, so that nobody waits in a circle
			if err := lockBook(ctx, tx, site); err != nil {
				return h.SiteID, err
			}
		}
		err = upsert(ctx, tx, st, "hold", "site_id, scope, scope_id, kind, from_at, to_at, reason, paper_number, withdrawn_because",
			h.SiteID, h.Scope, h.ScopeID, h.Kind, h.From, h.To, h.Reason, h.PaperNumber, h.Withdrawn)
		if err != nil {
			return h.SiteID, err
		}
		return h.SiteID, holdAnew(ctx, tx, st.org, lotsHeld(h.Scope), h.ScopeID)
	})
}

// siteHeld gives the site of what is held; none for a crop.
func siteHeld(ctx context.Context, tx pgx.Tx, a Actor, org domain.ID, h stock.Hold) (domain.ID, error) {
	if h.Scope == stock.ScopeCrop {
		var there bool
		const q = `select exists (select from crop where organisation_id = $1 and id = $2)`
		if err := tx.QueryRow(ctx, q, org, h.ScopeID).Scan(&there); err != nil {
			return domain.ID{}, fmt.Errorf("look for the crop: %w", err)
		}
		if !there {
			return domain.ID{}, domain.Faults{{Path: "/scope_id", Code: "not_found", Detail: "there is no such crop here"}}
		}
		if !a.OwnerAt(domain.ID{}) {
			return domain.ID{}, ErrDenied
		}
		return domain.ID{}, nil
	}
	column := "site_id"
	if h.Scope == stock.ScopeSite {
		column = "id"
	}
	var site domain.ID
	err := tx.QueryRow(ctx, `select `+column+` from `+string(h.Scope)+` where organisation_id = $1 and id = $2`, org, h.ScopeID).Scan(&site)
	if err == nil {
		return site, nil
	}
	err = missing(err, string(h.Scope))
	var faults domain.Faults
	if errors.As(err, &faults) {
		faults[0].Path = "/scope_id"
	}
	return site, err
}

// lotsHeld gives the lots that a hold may be on, before their kin are added.
func lotsHeld(scope stock.Scope) string {
	return map[stock.Scope]string{
		stock.ScopeLot:      `select id from lot where organisation_id = $1 and id = $2`,
		stock.ScopeShipment: `select id from lot where organisation_id = $1 and shipment_id = $2`,
		stock.ScopeCrop: `select lot.id from lot join cultivar c on c.organisation_id = $1 and c.id = lot.cultivar_id
		where lot.organisation_id = $1 and c.crop_id = $2`,
		stock.ScopeHouse: `select id from lot where organisation_id = $1 and site_id = (select site_id from house where organisation_id = $1 and id = $2)`,
		stock.ScopeSite:  `select id from lot where organisation_id = $1 and site_id = $2`,
	}[scope]
}

// Hold reads a hold.
func (s *Store) Hold(ctx context.Context, a Actor, id domain.ID) (Record[stock.Hold], error) {
	return get(ctx, s, a, holdTable(), id)
}

// HoldFilter narrows a list of holds; zero members do not.
type HoldFilter struct {
	SiteID, LotID domain.ID
	State         string // in_force or lifted
}

// Holds lists the holds; of a lot those that reach it, of a site those on a crop as well.
func (s *Store) Holds(ctx context.Context, a Actor, page Page, f HoldFilter) (List[stock.Hold], error) {
	return list(ctx, s, a, holdTable(), page, `and ($4::uuid is null or t.site_id = $4 or t.site_id is null)
		and ($5::uuid is null or exists (select from lot_hold h where h.organisation_id = $1 and h.hold_id = t.id and h.lot_id = $5))
		and ($6 = '' or ($6 = 'in_force') = (`+inForce+`))`, f.SiteID, f.LotID, f.State)
}

const inForce = `t.withdrawn_because = '' and t.from_at <= bt_now() and (t.to_at is null or bt_now() < t.to_at)`

// holdsInForce reads what is held at a site now.
func holdsInForce(ctx context.Context, tx pgx.Tx, org, site domain.ID) ([]Record[stock.Hold], error) {
	t := holdTable()
	return t.collect(ctx, tx, org, t.selectFrom()+` and (t.site_id = $2 or t.site_id is null) and `+inForce+` order by t.id`, site)
}
