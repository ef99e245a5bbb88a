package store_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// A book of 200,000 movements: 2,000 arrivals of 30 farms, each with a part split off
// and every tenth pair merged, that wander through 200 blocks of 10 houses.
const (
	bookArrivals  = 2000
	bookFarms     = 30
	bookBlocks    = 200
	bookMovements = 200_000
	perShipment   = 20
)

type bookOf struct {
	b         *testing.B
	f         storetest.Filled
	farms     []domain.ID
	blocks    []domain.ID
	customers []domain.ID
	shipments [][]any
	lots      [][]any
	lotFarms  [][]any
	movements [][]any
	parts     [][]any
	others    [][]any // blocks, farms and customers, by table
}

func (k *bookOf) id() domain.ID { return storetest.NewID(k.b) }

func (k *bookOf) move(kind stock.Kind, lot domain.ID, at time.Time, plants int, from, to domain.ID) domain.ID {
	id := k.id()
	row := []any{k.f.Owner.OrganisationID, id, k.f.Site, lot, string(kind), at, plants, orNothing(from), orNothing(to), "as told", 1, at, k.f.Owner.PersonID, nil, nil}
	switch kind {
	case stock.Dispatch:
		row[14] = k.customers[int(id[15])%len(k.customers)]
	case stock.Root:
		row[13] = plants
	}
	k.movements = append(k.movements, row)
	return id
}

func orNothing(id domain.ID) any {
	if id.IsZero() {
		return nil
	}
	return id
}

func (k *bookOf) lot(shipment, bornBy, farm domain.ID, code string, plants int) domain.ID {
	id := k.id()
	k.lots = append(k.lots, []any{
		k.f.Owner.OrganisationID, id, k.f.Site, orNothing(shipment), k.f.Cultivar, k.f.Season, code, true, plants, plants, 1, storetest.Now(), k.f.Owner.PersonID,
		orNothing(bornBy), orNothing(shipment), k.f.Supplier, domain.NewDate(2026, 7, 1).Time(), "expected",
	})
	if !farm.IsZero() {
		k.lotFarms = append(k.lotFarms, []any{k.f.Owner.OrganisationID, id, farm, k.f.Site})
	}
	return id
}

// wander moves, thins out and sells the plants of a lot, a step each day.
func (k *bookOf) wander(lot domain.ID, at time.Time, block, steps int) {
	for step := range steps {
		at = at.Add(24 * time.Hour)
		here, there := k.blocks[block%bookBlocks], k.blocks[(block+7)%bookBlocks]
		switch step % 5 {
		case 0, 1:
			k.move(stock.Move, lot, at, 20, here, there)
		case 2:
			k.move(stock.Discard, lot, at, 1, here, domain.ID{})
		case 3:
			k.move(stock.Dispatch, lot, at, 3, here, domain.ID{})
		case 4:
			k.move(stock.Space, lot, at, 20, here, there)
		}
	}
}

func (k *bookOf) tell() {
	org := k.f.Owner.OrganisationID
	for i := range bookBlocks {
		k.blocks = append(k.blocks, k.id())
		k.others = append(k.others, []any{"block", org, k.blocks[i], fmt.Sprintf("B-%d", i)})
	}
	for i := range bookFarms {
		k.farms = append(k.farms, k.id())
		k.others = append(k.others, []any{"farm", org, k.farms[i], fmt.Sprintf("Farm %d", i)})
	}
	for i := range 40 {
		k.customers = append(k.customers, k.id())
		k.others = append(k.others, []any{"customer", org, k.customers[i], fmt.Sprintf("Customer %d", i)})
	}
	start := time.Date(2026, time.July, 1, 8, 0, 0, 0, time.UTC)
	steps := bookMovements/bookArrivals/2 - 3
	var shipment, last domain.ID
	for i := range bookArrivals {
		at := start.Add(time.Duration(i%60) * 24 * time.Hour)
		if i%perShipment == 0 {
			shipment = k.id()
			k.shipments = append(k.shipments, []any{
				org, shipment, k.f.Site, k.f.Supplier, domain.NewDate(2026, 7, 1).Time(), domain.NewDate(2026, 7, 1).Time(), at, 1, at, k.f.Owner.PersonID,
			})
		}
		lot := k.lot(shipment, domain.ID{}, k.farms[i/perShipment%bookFarms], fmt.Sprintf("K-%d", i), 3000)
		k.move(stock.Receive, lot, at, 3000, domain.ID{}, domain.ID{})
		k.move(stock.Stick, lot, at.Add(time.Hour), 3000, domain.ID{}, k.blocks[i%bookBlocks])
		split := k.move(stock.Split, lot, at.Add(48*time.Hour), 1000, domain.ID{}, domain.ID{})
		part := k.lot(domain.ID{}, split, domain.ID{}, fmt.Sprintf("K-%d.1", i), 1000)
		k.part(split, 0, part, 1000, k.blocks[i%bookBlocks], k.blocks[(i+3)%bookBlocks])
		k.move(stock.Root, part, at.Add(60*time.Hour), 1000, k.blocks[(i+3)%bookBlocks], domain.ID{})
		k.wander(lot, at.Add(72*time.Hour), i, steps)
		k.wander(part, at.Add(72*time.Hour), i+3, steps)
		if i%20 == 19 {
			merge := k.id()
			mixed := k.lot(domain.ID{}, merge, domain.ID{}, fmt.Sprintf("MK-%d", i), 200)
			end := start.Add(150 * 24 * time.Hour)
			k.movements = append(k.movements, []any{org, merge, k.f.Site, mixed, "merge", end, 200, nil, nil, "", 1, end, k.f.Owner.PersonID, nil, nil})
			k.part(merge, 0, part, 100, k.blocks[(i+3)%bookBlocks], domain.ID{})
			k.part(merge, 1, last, 100, k.blocks[(i+2)%bookBlocks], domain.ID{})
		}
		last = part
	}
}

func (k *bookOf) part(movement domain.ID, ordinal int, lot domain.ID, plants int, from, to domain.ID) {
	k.parts = append(k.parts, []any{k.f.Owner.OrganisationID, movement, ordinal, k.f.Site, lot, plants, orNothing(from), orNothing(to)})
}

func (k *bookOf) write(owner *pgx.Conn) {
	ctx := k.b.Context()
	for _, x := range k.others {
		var err error
		switch x[0] {
		case "block":
			_, err = owner.Exec(ctx, `insert into block select $1, $2, site_id, (array(select h.id from house h where h.organisation_id = $1 order by h.id))[1 + length($3) % 2],
				section_id, $3, 1, 1, recorded_at, recorded_by from block where organisation_id = $1 and id = $4`, x[1], x[2], x[3], k.f.Block)
		case "farm":
			_, err = owner.Exec(ctx, `insert into farm select $1, $2, supplier_id, $3, '', 1, recorded_at, recorded_by from farm where organisation_id = $1 and id = $4`,
				x[1], x[2], x[3], k.f.Farm)
		case "customer":
			_, err = owner.Exec(ctx, `insert into customer select $1, $2, $3, '', '', 1, recorded_at, recorded_by from customer where organisation_id = $1 and id = $4`,
				x[1], x[2], x[3], k.f.Customer)
		}
		require.NoError(k.b, err)
	}
	for _, x := range []struct {
		table   string
		columns []string
		rows    [][]any
	}{
		{"shipment", []string{"organisation_id", "id", "site_id", "supplier_id", "expected_on", "arrived_on", "docked_at", "version", "recorded_at", "recorded_by"}, k.shipments},
		{"lot", []string{"organisation_id", "id", "site_id", "shipment_id", "cultivar_id", "season_id", "code", "code_given", "plants", "plants_on_hand", "version", "recorded_at", "recorded_by", "born_by", "origin_id", "supplier_id", "arrived_on", "state"}, k.lots},
		{"lot_farm", []string{"organisation_id", "lot_id", "farm_id", "site_id"}, k.lotFarms},
		{"movement", []string{"organisation_id", "id", "site_id", "lot_id", "kind", "moved_at", "plants", "from_block_id", "to_block_id", "reason", "version", "recorded_at", "recorded_by", "rooted", "customer_id"}, k.movements},
		{"movement_part", []string{"organisation_id", "movement_id", "ordinal", "site_id", "lot_id", "plants", "from_block_id", "to_block_id"}, k.parts},
	} {
		n, err := owner.CopyFrom(ctx, pgx.Identifier{x.table}, x.columns, pgx.CopyFromRows(x.rows))
		require.NoError(k.b, err, x.table)
		require.EqualValues(k.b, len(x.rows), n)
	}
}

// Following one farm of thirty through the book forward, and what stood beside its
// plants, as ratios to a bare read of the lots of the farm.
func BenchmarkTrailOfAFarm(b *testing.B) {
	st, f, owner, _ := filledForBench(b)
	k := &bookOf{b: b, f: f}
	k.tell()
	for range 9 {
		_, err := owner.Exec(b.Context(), `insert into house select organisation_id, gen_random_uuid(), site_id, gen_random_uuid()::text, null, 1, recorded_at, recorded_by
			from house where organisation_id = $1 limit 1`, f.Owner.OrganisationID)
		require.NoError(b, err)
	}
	k.write(owner)
	_, err := owner.Exec(b.Context(), `update block set house_id = (array(select h.id from house h where h.organisation_id = block.organisation_id order by h.id))[1 + substring(name from 3)::int % 10]
		where name like 'B-%'`)
	require.NoError(b, err)
	began := time.Now()
	require.NoError(b, st.Rebook(b.Context(), f.Owner))
	b.Logf("%d movements of %d lots booked in %s", len(k.movements), len(k.lots), time.Since(began).Round(time.Second))
	const tallies = `insert into tally select distinct on (p.block_id, p.lot_id, week) p.organisation_id, $1, week::date, p.block_id, p.lot_id, p.site_id, 1, 18, 2
		from placement p cross join generate_series(date '2026-07-06', date '2026-09-14', interval '7 days') week
		where p.lot_id in (select id from lot where code like 'K-%') and p.from_at < week and (p.to_at is null or p.to_at > week)`
	_, err = owner.Exec(b.Context(), tallies, f.Organism)
	require.NoError(b, err)
	_, err = owner.Exec(b.Context(), `analyze`)
	require.NoError(b, err)
	query := store.TrailQuery{From: stock.FromFarm, ID: k.farms[3]}
	perBare := timeOf(b, func() {
		rows, err := owner.Query(b.Context(), `select lot_id from lot_farm where farm_id = $1`, k.farms[3])
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
	})
	b.Run("reach", func(b *testing.B) {
		for b.Loop() {
			t, err := st.Trail(b.Context(), f.Owner, query)
			require.NoError(b, err)
			require.Greater(b, len(t.Lots), 100)
		}
		report(b, perBare)
	})
	b.Run("contacts", func(b *testing.B) {
		for b.Loop() {
			c, err := st.Contacts(b.Context(), f.Owner, query)
			require.NoError(b, err)
			require.Greater(b, len(c.Items), 100)
		}
		report(b, perBare)
	})
	if testing.Verbose() {
		trail, err := st.Trail(b.Context(), f.Owner, query)
		require.NoError(b, err)
		ids := []domain.ID{}
		for _, x := range trail.Lots {
			ids = append(ids, x.Lot.ID)
		}
		b.Log("explain the trail\n" + explain(b, owner, store.TrailSQL(query.From), f.Owner.OrganisationID, query.ID))
		b.Log("explain the contacts in houses\n" + explain(b, owner, store.ContactsSQL(4), f.Owner.OrganisationID, ids, []domain.ID{}))
	}
}

func explain(b *testing.B, owner *pgx.Conn, sql string, args ...any) string {
	b.Helper()
	rows, err := owner.Query(b.Context(), `explain (analyze, buffers, costs off) `+sql, args...)
	require.NoError(b, err)
	lines, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(b, err)
	return strings.Join(lines, "\n")
}
