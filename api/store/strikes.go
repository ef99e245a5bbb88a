package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// StrikeGroup is how many cuttings of a group rooted and how many plants were lost.
type StrikeGroup struct {
	Key            string // an id, unknown or mixed
	Lots           int
	Stuck, Rooted  int // of the cuttings whose roots were counted
	Received, Lost int
}

// StrikeQuery asks for strike and loss; zero filters do not narrow.
type StrikeQuery struct {
	By               string // supplier, farm, cultivar or shipment
	SiteID, SeasonID domain.ID
}

func strikeKey(by string) string {
	const farm = `(select case count(*) when 0 then 'unknown' when 1 then min(f.farm_id::text) else 'mixed' end from lot_farm f
		where f.organisation_id = $1 and f.lot_id = lot.id)`
	return map[string]string{
		"supplier": `coalesce(lot.supplier_id::text, 'mixed')`,
		"farm":     `case when lot.mixed then 'mixed' else ` + farm + ` end`,
		"cultivar": `lot.cultivar_id::text`,
		"shipment": `coalesce(lot.origin_id::text, 'mixed')`,
	}[by]
}

// Strikes sums strike and loss per group. Losses of lots that began here count with
// what they came from; of mixed lots they stand by themselves, against the plants
// that were merged.
func (s *Store) Strikes(ctx context.Context, a Actor, q StrikeQuery) (domain.ID, []StrikeGroup, error) {
	t := Trends{Today: domain.DateOf(s.clock().UTC())}
	var groups []StrikeGroup
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		if err := t.chooseSeason(ctx, tx, a.OrganisationID, TrendQuery{SeasonID: q.SeasonID}); err != nil || t.Season.ID.IsZero() {
			return err
		}
		sql := `select ` + strikeKey(q.By) + `, count(*)::int, sum(a.stuck)::int, sum(a.rooted)::int,
				coalesce(sum(a.received) filter (where lot.shipment_id is not null or lot.mixed), 0)::int, greatest(0, sum(a.discarded + a.lost - a.gained))::int
			from lot join lot_account a on a.organisation_id = $1 and a.lot_id = lot.id
			where lot.organisation_id = $1 and lot.season_id = $2 and ($3::uuid is null or lot.site_id = $3) and lot.withdrawn_because = ''
				and lot.state not in ('expected', 'not_born')
			group by 1 order by 1`
		rows, err := tx.Query(ctx, sql, a.OrganisationID, t.Season.ID, q.SiteID)
		if err != nil {
			return fmt.Errorf("read strike and loss: %w", err)
		}
		groups, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (g StrikeGroup, err error) {
			return g, row.Scan(&g.Key, &g.Lots, &g.Stuck, &g.Rooted, &g.Received, &g.Lost)
		})
		return err
	})
	return t.Season.ID, groups, err
}
