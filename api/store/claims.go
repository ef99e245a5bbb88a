package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

func claimTable() table[arrival.Claim] {
	return table[arrival.Claim]{
		name: "claim",
		columns: `t.id, t.shipment_id, t.text, t.sent_at, t.sent_by, t.answered_at, t.answer, coalesce(t.credit_amount::text, ''), t.credit_currency,
			t.withdrawn_because, t.site_id, shipment.docked_at, supplier.claim_hours`,
		joins: `join shipment on shipment.organisation_id = t.organisation_id and shipment.id = t.shipment_id
			join supplier on supplier.organisation_id = t.organisation_id and supplier.id = shipment.supplier_id`,
		fields: func(x *arrival.Claim) []any {
			return []any{
				&x.ID, &x.ShipmentID, &x.Text, &x.SentAt, &x.SentBy, &x.AnsweredAt, &x.Answer, &x.Credit.Amount, &x.Credit.Currency,
				&x.Withdrawn, &x.SiteID, &x.DockedAt, &x.ClaimHours,
			}
		},
		fill: fillClaims,
	}
}

func fillClaims(ctx context.Context, tx pgx.Tx, org domain.ID, claims []Record[arrival.Claim]) error {
	return eachPart(ctx, tx, `select claim_id, lot_id, what, plants, note from claim_item
		where organisation_id = $1 and claim_id = any($2) order by claim_id, ordinal`, org, claims,
		func(row pgx.CollectableRow, of func(domain.ID) *arrival.Claim) error {
			var id domain.ID
			var item arrival.ClaimItem
			if err := row.Scan(&id, &item.LotID, &item.What, &item.Plants, &item.Note); err != nil {
				return err
			}
			of(id).Items = append(of(id).Items, item)
			return nil
		})
}

// PutClaim stores a claim with its items.
func (s *Store) PutClaim(ctx context.Context, a Actor, p Put, x arrival.Claim) (Saved[arrival.Claim], error) {
	return save(ctx, s, a, p, claimTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		site, err := ownSite(ctx, tx, st.org, "shipment", x.ShipmentID)
		if err != nil {
			return site, err
		}
		if err := knowClaimedLots(ctx, tx, st.org, x); err != nil {
			return site, err
		}
		err = upsert(ctx, tx, st, "claim",
			`site_id, shipment_id, text, sent_at, sent_by, answered_at, answer, credit_amount, credit_currency, withdrawn_because`,
			site, x.ShipmentID, x.Text, x.SentAt, x.SentBy, x.AnsweredAt, x.Answer, orNull(x.Credit.Amount), x.Credit.Currency, x.Withdrawn)
		if err != nil {
			return site, err
		}
		batch := &pgx.Batch{}
		batch.Queue(`delete from claim_item where organisation_id = $1 and claim_id = $2`, st.org, st.id)
		for i, item := range x.Items {
			batch.Queue(`insert into claim_item (organisation_id, claim_id, ordinal, site_id, lot_id, what, plants, note)
				values ($1, $2, $3, $4, $5, $6, $7, $8)`, st.org, st.id, i, site, item.LotID, item.What, item.Plants, item.Note)
		}
		if err := tx.SendBatch(ctx, batch).Close(); err != nil {
			return site, fmt.Errorf("write the items of the claim: %w", err)
		}
		return site, nil
	})
}

// knowClaimedLots refuses items of lots that neither came with the shipment nor
// were split off one that did.
func knowClaimedLots(ctx context.Context, tx pgx.Tx, org domain.ID, x arrival.Claim) error {
	rows, err := tx.Query(ctx, `select id from lot where organisation_id = $1 and $2 in (shipment_id, origin_id)`, org, x.ShipmentID)
	if err != nil {
		return fmt.Errorf("read the lots of the shipment: %w", err)
	}
	lots, err := pgx.CollectRows(rows, pgx.RowTo[domain.ID])
	if err != nil {
		return fmt.Errorf("read the lots of the shipment: %w", err)
	}
	known := map[domain.ID]bool{{}: true} // the shipment as a whole
	for _, id := range lots {
		known[id] = true
	}
	var f domain.Faults
	for i, item := range x.Items {
		if !known[item.LotID] {
			f.Add(fmt.Sprintf("/items/%d/lot_id", i), "not_found", "there is no such lot in this shipment")
		}
	}
	return f.Err()
}

// moveClaims lets the claims about a shipment be seen where it is seen now.
func moveClaims(ctx context.Context, tx pgx.Tx, org, site, shipment domain.ID) error {
	const q = `with moved as (update claim set site_id = $2 where organisation_id = $1 and site_id <> $2 and shipment_id = $3 returning id),
			items as (update claim_item set site_id = $2 where organisation_id = $1 and claim_id in (select id from moved))
		update revision set site_id = $2 where organisation_id = $1 and record_id in (select id from moved)`
	if _, err := tx.Exec(ctx, q, org, site, shipment); err != nil {
		return fmt.Errorf("let the claims follow: %w", err)
	}
	return nil
}

// Claim reads a claim.
func (s *Store) Claim(ctx context.Context, a Actor, id domain.ID) (Record[arrival.Claim], error) {
	return get(ctx, s, a, claimTable(), id)
}

// Claims lists the claims, of one site or shipment unless they are zero.
func (s *Store) Claims(ctx context.Context, a Actor, page Page, site, shipment domain.ID) (List[arrival.Claim], error) {
	return list(ctx, s, a, claimTable(), page,
		`and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.shipment_id = $5)`, site, shipment)
}
