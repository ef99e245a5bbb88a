package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// StrikeGroup is how many cuttings of a group rooted and how many plants were lost.
type StrikeGroup struct {
	Key    string // an id, unknown or mixed
	Lots   int
	Strike []stats.Proportion // per lot: of the cuttings whose roots were counted those with roots
	Loss   []stats.Proportion // per lot: of the plants received those discarded or missing
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
		var err error
		groups, err = readStrikes(ctx, tx, a.OrganisationID, t.Season.ID, q.SiteID, strikeKey(q.By))
		return err
	})
	return t.Season.ID, groups, err
}

// readStrikes sums strike and loss of a season per group, by what tells lots apart.
func readStrikes(ctx context.Context, tx pgx.Tx, org, season, site domain.ID, key string) ([]StrikeGroup, error) {
	// Lots made of one arrival fare as part of it.
	const of = `(select case count(*) when 1 then min(s.arrival_id::text) else lot.id::text end from lot_share s
		where s.organisation_id = $1 and s.lot_id = lot.id)`
	sql := `select ` + key + `, ` + of + `, count(*)::int, sum(a.stuck)::int, sum(a.rooted)::int,
			coalesce(sum(a.received) filter (where lot.shipment_id is not null or lot.mixed), 0)::int, greatest(0, sum(a.discarded + a.lost - a.gained))::int
		from lot join lot_account a on a.organisation_id = $1 and a.lot_id = lot.id
		where lot.organisation_id = $1 and lot.season_id = $2 and ($3::uuid is null or lot.site_id = $3) and lot.withdrawn_because = ''
			and lot.state not in ('expected', 'not_born')
		group by 1, 2 order by 1, 2`
	rows, err := tx.Query(ctx, sql, org, season, site)
	if err != nil {
		return nil, fmt.Errorf("read strike and loss: %w", err)
	}
	var groups []StrikeGroup
	var group, lot string
	var lots int
	var strike, loss stats.Proportion
	_, err = pgx.ForEachRow(rows, []any{&group, &lot, &lots, &strike.Examined, &strike.Infested, &loss.Examined, &loss.Infested}, func() error {
		if len(groups) == 0 || groups[len(groups)-1].Key != group {
			groups = append(groups, StrikeGroup{Key: group})
		}
		g := &groups[len(groups)-1]
		g.Lots += lots
		loss.Infested = min(loss.Infested, loss.Examined)
		g.Strike, g.Loss = append(g.Strike, strike), append(g.Loss, loss)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("read strike and loss: %w", err)
	}
	return groups, nil
}
