package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
)

// readStanding reads what stands in the houses now. Plants that stood there before
// and do not any more are gone.
func (r *adviceReader) readStanding(ctx context.Context) error {
	q := `select block.house_id, t.cultivar_id, t.season_id = $2, t.id, p.block_id, p.plants, ` + isHeld + `,
			p.from_at <= $3 and (p.to_at is null or $3 < p.to_at)
		from placement p join lot t on t.organisation_id = $1 and t.id = p.lot_id and ` + lotCounts("t") + `
		join block on block.organisation_id = $1 and block.id = p.block_id
		where p.organisation_id = $1 and p.from_at <= $3 and ((p.to_at is null or $3 < p.to_at) or t.season_id = $2)
		order by 1, 2, p.block_id, t.id`
	rows, err := r.tx.Query(ctx, q, r.org, r.found.Season.ID, r.now)
	if err != nil {
		return fmt.Errorf("read what stands in the houses: %w", err)
	}
	type inHouse struct {
		plants  int
		largest int
	}
	houses := map[domain.ID]inHouse{}
	of := map[itemKey]int{}
	stood := map[itemKey]bool{}
	blocks := map[*AdviceItem]map[domain.ID]bool{}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var house, cultivar, lot, block domain.ID
		var thisSeason, held, now bool
		var plants int
		if err := row.Scan(&house, &cultivar, &thisSeason, &lot, &block, &plants, &held, &now); err != nil {
			return struct{}{}, err
		}
		key := itemKey{house, cultivar}
		if !now {
			stood[key] = true
			return struct{}{}, nil
		}
		h := houses[house]
		of[key] += plants
		h.plants, h.largest = h.plants+plants, max(h.largest, of[key])
		houses[house] = h
		if !thisSeason {
			return struct{}{}, nil
		}
		x := r.item(house, cultivar)
		x.addLot(lot)
		x.Reading.StandingPlants += plants
		x.Reading.Held = x.Reading.Held || held
		if blocks[x] == nil {
			blocks[x] = map[domain.ID]bool{}
		}
		blocks[x][block], x.standing[lot] = true, true
		x.Reading.StandingBlocks = len(blocks[x])
		return struct{}{}, nil
	})
	if err != nil {
		return fmt.Errorf("read what stands in the houses: %w", err)
	}
	for key, x := range r.items {
		x.Reading.HousePlants, x.Reading.LargestPlants = houses[key.house].plants, houses[key.house].largest
		x.Reading.Gone = len(x.standing) == 0 && stood[key]
	}
	return nil
}

// readSigns reads the signs of the last weeks. Only looks count that were planned and
// at which signs were looked for. A sign noted of a block as a whole counts as one plant's.
func (r *adviceReader) readSigns(ctx context.Context) error {
	// One look at a time, by keys: also before the database has counted its rows, which
	// makes it join them in an order that takes a hundred times as long.
	q := `with k as materialized (
			select look.id, block.house_id, lot.cultivar_id, f.plants_looked_at, f.marks
			from look join unnest($4::uuid[], $5::date[]) as here (site_id, today) on here.site_id = look.site_id
			cross join lateral (select plants_looked_at, marks from look_finding
				where organisation_id = $1 and look_id = look.id and organism_id = $2 and signs_looked_for offset 0) f
			cross join lateral (select house_id from block where organisation_id = $1 and id = look.block_id offset 0) block
			cross join lateral (select cultivar_id from lot where organisation_id = $1 and id = look.lot_id and season_id = $3
				and ` + lotCounts("lot") + ` offset 0) lot
			where look.organisation_id = $1 and look.week_start between $7::date - 6 and $8 and look.looked_on between here.today - $9::int and here.today
				and look.withdrawn_because = '' and look.purpose = 'planned')
		select k.house_id, k.cultivar_id, count(*)::int, sum(k.plants_looked_at)::int,
			coalesce(sum(k.plants_looked_at) filter (where k.marks is not null), 0)::int, sum(dense)::int, sum(new_growth)::int, sum(adults)::int,
			sum(alive)::int, sum(parasitised)::int, sum(host_fed)::int, sum(dried)::int
		from k cross join lateral (select count(*) as dense from unnest(k.marks) m where m & $6 <> 0) marks
		cross join lateral (
			select count(distinct coalesce(plant, -1)) filter (where place = 'new_growth' and living and stage <> 'empty_case') as new_growth,
				count(distinct coalesce(plant, -1)) filter (where stage = 'adult' and living) as adults,
				count(*) filter (where late and living) as alive, count(*) filter (where late and state = 'parasitised') as parasitised,
				count(*) filter (where late and state = 'host_fed') as host_fed, count(*) filter (where late and state = 'dried') as dried
			from (select plant, stage, place, state, state in ('', 'alive') as living, stage in ('large_nymph', 'pupa') as late
				from look_sign s where s.organisation_id = $1 and s.look_id = k.id and s.organism_id = $2) noted) signs
		group by 1, 2`
	const back = 7*advice.SignWeeks - 1 // days
	var sites []domain.ID
	var days []domain.Date
	for _, at := range r.sites {
		if !slices.Contains(sites, at.id) {
			sites, days = append(sites, at.id), append(days, at.today)
		}
	}
	if len(sites) == 0 {
		return nil
	}
	first, last := slices.MinFunc(days, domain.Date.Compare), slices.MaxFunc(days, domain.Date.Compare)
	rows, err := r.tx.Query(ctx, q, r.org, r.found.OrganismID, r.found.Season.ID, sites, days, markDense, first.AddDays(-back), last, back)
	if err != nil {
		return fmt.Errorf("read the signs: %w", err)
	}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var key itemKey
		var x advice.Signs
		err := row.Scan(&key.house, &key.cultivar, &x.Looks, &x.Plants, &x.PlantByPlant, &x.DenseLeaves, &x.NewGrowth, &x.Adults,
			&x.LateAlive, &x.LateParasitised, &x.LateHostFed, &x.LateDried)
		if item := r.items[key]; item != nil {
			item.Reading.Signs = x
		}
		return struct{}{}, err
	})
	if err != nil {
		return fmt.Errorf("read the signs: %w", err)
	}
	return nil
}

// readNames reads what the houses and cultivars are called, and the foliage of these.
func (r *adviceReader) readNames(ctx context.Context) error {
	const q = `select house.id, house.name, cultivar.id, cultivar.name, cultivar.foliage
		from unnest($2::uuid[], $3::uuid[]) as x (house_id, cultivar_id)
		join house on house.organisation_id = $1 and house.id = x.house_id
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = x.cultivar_id`
	var houses, cultivars []domain.ID
	for key := range r.items {
		houses, cultivars = append(houses, key.house), append(cultivars, key.cultivar)
	}
	rows, err := r.tx.Query(ctx, q, r.org, houses, cultivars)
	if err != nil {
		return fmt.Errorf("read the names: %w", err)
	}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var key itemKey
		var named AdviceItem
		var foliage stock.Foliage
		if err := row.Scan(&key.house, &named.House, &key.cultivar, &named.Cultivar, &foliage); err != nil {
			return struct{}{}, err
		}
		x := r.items[key]
		x.House, x.Cultivar, x.Reading.Foliage = named.House, named.Cultivar, foliage
		return struct{}{}, nil
	})
	if err != nil {
		return fmt.Errorf("read the names: %w", err)
	}
	return nil
}
