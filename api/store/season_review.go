package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// ReviewQuery asks how a season went; zero filters do not narrow.
type ReviewQuery struct {
	By               trend.By  // supplier, farm, cultivar, arrival or house
	SeasonID, SiteID domain.ID // the current season when zero
}

// ReviewFound is a season, and the one of the same crop before it.
type ReviewFound struct {
	OrganismID domain.ID
	Today      domain.Date // in UTC
	Season     ReviewedSeason
	Last       *ReviewedSeason // nil when there is none
	Traced     []trend.Traced  // what the question of origin is answered from
}

// ReviewedSeason is what is on record of a season.
type ReviewedSeason struct {
	stock.Season // zero when there is none
	Limits       []advice.Threshold
	Groups       []ReviewGroup // by label
	Whole        ReviewGroup
	// What was looked at of every group the person may see, for what they have in common.
	All [][]trend.Sample
}

// ReviewGroup is what is on record of a group. By house there are no arrivals, no
// strike and no claims: those belong to lots, which stand in several houses.
type ReviewGroup struct {
	TrendGroup
	Received            int // plants, of lots that arrived
	Dispatched          int
	Standing            int                // now
	Dock, Second        []stats.Proportion // per lot: plants looked at, and infested with the pest asked about
	Strike, Loss        []stats.Proportion // per lot; by house the loss is what was thrown out there
	Claims              []arrival.ClaimPart
	LotsArrived, LotsIn int // lots that arrived, and that stand or stood
}

// byAll puts everything in one group.
const byAll trend.By = "all"

// reviewKey tells lots apart as the trends do.
func reviewKey(by trend.By) string {
	const farm = `case when lot.mixed then 'mixed' else (select case count(*) when 0 then '' when 1 then min(f.farm_id::text) else 'several' end
		from lot_farm f where f.organisation_id = $1 and f.lot_id = lot.id) end`
	return map[trend.By]string{
		trend.BySupplier: `case when lot.mixed and lot.supplier_id is null then 'mixed' else coalesce(lot.supplier_id::text, '') end`,
		trend.ByFarm:     farm,
		trend.ByCultivar: `lot.cultivar_id::text`,
		trend.ByArrival:  `case when lot.mixed then 'mixed' else coalesce(lot.arrived_on::text, '') end`,
		byAll:            `''`,
	}[by]
}

// reviewLabel names a group of lots, and describes it.
func reviewLabel(by trend.By) (label, subLabel string) {
	switch by {
	case trend.BySupplier:
		return `coalesce(supplier.name, '')`, `''`
	case trend.ByFarm:
		return `coalesce((select case count(*) when 1 then min(farm.name) else '' end from lot_farm f
			join farm on farm.organisation_id = $1 and farm.id = f.farm_id where f.organisation_id = $1 and f.lot_id = lot.id), '')`, `coalesce(supplier.name, '')`
	case trend.ByCultivar:
		return `cultivar.name`, `''`
	case trend.ByArrival:
		return `case when lot.mixed then 'mixed' else coalesce(lot.arrived_on::text, '') end`, `''`
	}
	return `''`, `''`
}

// SeasonReview reads a season and the one before it.
func (s *Store) SeasonReview(ctx context.Context, a Actor, q ReviewQuery) (ReviewFound, error) {
	var found ReviewFound
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		season, err := s.seasonOfAdvice(ctx, tx, a, AdviceQuery{SeasonID: q.SeasonID, SiteID: q.SiteID})
		found = ReviewFound{OrganismID: season.OrganismID, Today: season.Today}
		if err != nil || season.Season.ID.IsZero() {
			return err
		}
		r := reviewReader{tx: tx, store: s, actor: a, q: q, organism: season.OrganismID}
		if found.Season, err = r.read(ctx, season); err != nil {
			return err
		}
		if found.Traced, err = readTraced(ctx, tx, []any{a.OrganisationID, season.OrganismID, season.Season.ID, q.SiteID, domain.ID{}, domain.ID{}}); err != nil {
			return err
		}
		before, err := r.seasonBefore(ctx, season.Season)
		if err != nil || before.IsZero() {
			return err
		}
		last, err := s.seasonOfAdvice(ctx, tx, a, AdviceQuery{SeasonID: before, SiteID: q.SiteID, OrganismID: season.OrganismID})
		if err != nil {
			return err
		}
		reviewed, err := r.read(ctx, last)
		found.Last = &reviewed
		return err
	})
	return found, err
}

type reviewReader struct {
	tx       pgx.Tx
	store    *Store
	actor    Actor
	q        ReviewQuery
	organism domain.ID
}

// seasonBefore gives the last season of the crop that began before, zero for none.
func (r reviewReader) seasonBefore(ctx context.Context, season stock.Season) (domain.ID, error) {
	const sql = `select id from season where organisation_id = $1 and crop_id = $2 and starts_on < $3 order by starts_on desc limit 1`
	var id domain.ID
	err := r.tx.QueryRow(ctx, sql, r.actor.OrganisationID, season.CropID, season.StartsOn).Scan(&id)
	if errors.Is(err, pgx.ErrNoRows) {
		return id, nil
	}
	if err != nil {
		return id, fmt.Errorf("read the season before: %w", err)
	}
	return id, nil
}

func (r reviewReader) read(ctx context.Context, t Trends) (ReviewedSeason, error) {
	out := ReviewedSeason{Season: t.Season, Limits: t.Limits}
	found := HousesFound{Season: t.Season, OrganismID: r.organism, Today: domain.DateOf(r.store.clock().UTC())}
	houses := housesReader{tx: r.tx, org: r.actor.OrganisationID, site: r.q.SiteID, now: r.store.clock(), found: &found, at: map[domain.ID]int{}}
	if err := houses.readHouses(ctx); err != nil {
		return out, err
	}
	houses.choosePeriod(HousesQuery{})
	if err := houses.readPlaced(ctx); err != nil {
		return out, err
	}
	keyOf, err := r.keyOf(ctx, t.Season)
	if err != nil {
		return out, err
	}
	out.All = append(out.All, inKeyOrder(trend.SeriesOf(found.Placed, func(x trend.Placed) (string, bool) { return keyOf(x), true }))...)
	here := func(x trend.Placed) bool { return houses.house(x.HouseID) != nil }
	byKey := map[string]*ReviewGroup{}
	for key, weeks := range trend.SeriesOf(found.Placed, func(x trend.Placed) (string, bool) { return keyOf(x), here(x) }) {
		group(byKey, key).Weeks = weeks
	}
	whole := map[string]*ReviewGroup{"": {}}
	whole[""].Weeks = trend.SeriesOf(found.Placed, func(x trend.Placed) (string, bool) { return "", here(x) })[""]
	if r.q.By == trend.ByHouse {
		err = r.readHouses(ctx, houses, byKey)
	} else {
		err = r.readLots(ctx, t.Season, r.q.By, byKey)
	}
	if err != nil {
		return out, err
	}
	if err := r.readLots(ctx, t.Season, byAll, whole); err != nil {
		return out, err
	}
	out.Whole = *whole[""]
	for _, g := range byKey {
		out.Groups = append(out.Groups, *g)
	}
	sortReview(out.Groups)
	return out, nil
}

// inKeyOrder gives the series always in the same order.
func inKeyOrder(series map[string][]trend.Sample) [][]trend.Sample {
	var all [][]trend.Sample
	for _, key := range slices.Sorted(maps.Keys(series)) {
		all = append(all, series[key])
	}
	return all
}

// keyOf tells what a placed lot is grouped by.
func (r reviewReader) keyOf(ctx context.Context, season stock.Season) (func(trend.Placed) string, error) {
	if r.q.By == trend.ByHouse {
		return func(x trend.Placed) string { return x.HouseID.String() }, nil
	}
	sql := `select lot.id, ` + reviewKey(r.q.By) + ` from lot where lot.organisation_id = $1 and lot.season_id = $2`
	rows, err := r.tx.Query(ctx, sql, r.actor.OrganisationID, season.ID)
	if err != nil {
		return nil, fmt.Errorf("read what lots are grouped by: %w", err)
	}
	keys := map[domain.ID]string{}
	var lot domain.ID
	var key string
	if _, err = pgx.ForEachRow(rows, []any{&lot, &key}, func() error { keys[lot] = key; return nil }); err != nil {
		return nil, fmt.Errorf("read what lots are grouped by: %w", err)
	}
	return func(x trend.Placed) string { return keys[x.LotID] }, nil
}

// group gives the group of a key, making it where nothing of it was looked at.
func group(groups map[string]*ReviewGroup, key string) *ReviewGroup {
	if groups[key] == nil {
		groups[key] = &ReviewGroup{TrendGroup: TrendGroup{Key: key}}
	}
	return groups[key]
}

// readLots adds what arrived, what was found at the dock and at the second look, what
// struck and was lost, what left and what was claimed.
func (r reviewReader) readLots(ctx context.Context, season stock.Season, by trend.By, groups map[string]*ReviewGroup) error {
	key := reviewKey(by)
	label, subLabel := reviewLabel(by)
	sql := `
		with found as (
			select i.lot_id, i.kind, sum(f.plants_looked_at)::int as looked, sum(f.infested_plants)::int as infested
			from inspection i join inspection_finding f on f.organisation_id = $1 and f.inspection_id = i.id and f.organism_id = $4
			where i.organisation_id = $1 and i.withdrawn_because = '' group by 1, 2)
		select ` + key + `, ` + label + `, ` + subLabel + `, lot.shipment_id is not null,
			case when lot.shipment_id is not null then coalesce(a.received, 0) else 0 end, coalesce(a.dispatched, 0), coalesce(a.placed + a.unplaced, 0),
			coalesce(dock.looked, 0), coalesce(dock.infested, 0), coalesce(second.looked, 0), coalesce(second.infested, 0),
			case when $5 then lot.cultivar_id end
		from lot
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		left join supplier on supplier.organisation_id = $1 and supplier.id = lot.supplier_id
		left join lot_account a on a.organisation_id = $1 and a.lot_id = lot.id
		left join found dock on dock.lot_id = lot.id and dock.kind = 'dock'
		left join found second on second.lot_id = lot.id and second.kind = 'second_look'
		where lot.organisation_id = $1 and lot.season_id = $2 and ($3::uuid is null or lot.site_id = $3) and lot.state not in ('expected', 'not_born') and ` +
		lotCounts("lot") + ` order by 1, lot.id`
	rows, err := r.tx.Query(ctx, sql, pgx.QueryExecModeCacheDescribe, r.actor.OrganisationID, season.ID, r.q.SiteID, r.organism, by == trend.ByCultivar)
	if err != nil {
		return fmt.Errorf("read the lots of the season: %w", err)
	}
	var name, named, about string
	var arrived bool
	var received, dispatched, standing int
	var dock, second stats.Proportion
	var cultivar domain.ID
	to := []any{&name, &named, &about, &arrived, &received, &dispatched, &standing, &dock.Examined, &dock.Infested, &second.Examined, &second.Infested, &cultivar}
	_, err = pgx.ForEachRow(rows, to, func() error {
		g := group(groups, name)
		g.Label, g.SubLabel, g.CultivarID = named, about, cultivar
		g.Received += received
		g.Dispatched += dispatched
		g.Standing += standing
		g.Dock, g.Second = append(g.Dock, dock), append(g.Second, second)
		g.LotsIn++
		if arrived {
			g.LotsArrived++
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("read the lots of the season: %w", err)
	}
	strikes, err := readStrikes(ctx, r.tx, r.actor.OrganisationID, season.ID, r.q.SiteID, key)
	if err != nil {
		return err
	}
	for _, x := range strikes {
		g := group(groups, x.Key)
		g.Strike, g.Loss = x.Strike, x.Loss
	}
	return r.readClaims(ctx, season, key, groups)
}

// readClaims adds the claims that were sent. A line about a whole shipment is about all
// its lots; where those are of several groups its plants are of none alone.
func (r reviewReader) readClaims(ctx context.Context, season stock.Season, key string, groups map[string]*ReviewGroup) error {
	sql := `
		select c.id, c.answered_at is not null, coalesce(c.credit_amount, 0)::text, c.credit_currency, i.ordinal, i.plants, ` + key + `
		from claim c
		join claim_item i on i.organisation_id = $1 and i.claim_id = c.id
		join lot on lot.organisation_id = $1 and lot.shipment_id = c.shipment_id and (i.lot_id is null or lot.id = i.lot_id)
		where c.organisation_id = $1 and c.sent_at is not null and c.withdrawn_because = '' and lot.season_id = $2
			and ($3::uuid is null or lot.site_id = $3) and lot.withdrawn_because = ''
		group by 1, 2, 3, 4, 5, 6, 7 order by 1, 5, 7`
	rows, err := r.tx.Query(ctx, sql, r.actor.OrganisationID, season.ID, r.q.SiteID)
	if err != nil {
		return fmt.Errorf("read the claims: %w", err)
	}
	var lines []arrival.ClaimLine
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var l arrival.ClaimLine
		err := row.Scan(&l.ClaimID, &l.Answered, &l.Amount, &l.Currency, &l.Ordinal, &l.Plants, &l.Group)
		lines = append(lines, l)
		return struct{}{}, err
	})
	if err != nil {
		return fmt.Errorf("read the claims: %w", err)
	}
	for name, parts := range arrival.ShareOut(lines) {
		group(groups, name).Claims = parts
	}
	return nil
}

// readHouses adds what was thrown out in each house, what left from it and what stands.
func (r reviewReader) readHouses(ctx context.Context, houses housesReader, groups map[string]*ReviewGroup) error {
	if err := houses.readDiscards(ctx); err != nil {
		return err
	}
	found, season := houses.found, houses.found.Season
	for _, h := range found.Houses {
		if len(h.Discards) == 0 && groups[h.ID.String()] == nil {
			continue // nothing of the season ever stood there
		}
		g := group(groups, h.ID.String())
		g.Label, g.SubLabel, g.HouseID, g.Loss = h.Name, h.Site, h.ID, h.Discards
	}
	const sql = `select x.house_id::text, sum(x.dispatched)::int, sum(x.standing)::int
		from (select block.house_id, m.lot_id, m.plants as dispatched, 0 as standing
				from movement m join block on block.organisation_id = $1 and block.id = m.from_block_id
				where m.organisation_id = $1 and m.kind = 'dispatch' and m.withdrawn_because = '' and m.moved_at <= bt_now()
					and not exists (select from movement_conflict c where c.organisation_id = $1 and c.movement_id = m.id)
			union all
			select block.house_id, p.lot_id, 0, p.plants
				from placement p join block on block.organisation_id = $1 and block.id = p.block_id
				where p.organisation_id = $1 and p.from_at <= bt_now() and (p.to_at is null or p.to_at > bt_now())) x
		join lot on lot.organisation_id = $1 and lot.id = x.lot_id and lot.season_id = $2 and lot.withdrawn_because = ''
		join house on house.organisation_id = $1 and house.id = x.house_id and ($3::uuid is null or house.site_id = $3)
		group by 1`
	rows, err := r.tx.Query(ctx, sql, r.actor.OrganisationID, season.ID, r.q.SiteID)
	if err != nil {
		return fmt.Errorf("read what left the houses: %w", err)
	}
	var key string
	var dispatched, standing int
	_, err = pgx.ForEachRow(rows, []any{&key, &dispatched, &standing}, func() error {
		g := group(groups, key)
		g.Dispatched, g.Standing = dispatched, standing
		return nil
	})
	if err != nil {
		return fmt.Errorf("read what left the houses: %w", err)
	}
	return nil
}

// sortReview puts the groups in the order of their labels; what is not known by name
// comes last.
func sortReview(groups []ReviewGroup) {
	slices.SortFunc(groups, func(a, b ReviewGroup) int {
		unnamed := func(g ReviewGroup) int {
			if g.Label == "" {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(unnamed(a), unnamed(b)), cmp.Compare(a.SubLabel, b.SubLabel), cmp.Compare(a.Label, b.Label), cmp.Compare(a.Key, b.Key))
	})
}
