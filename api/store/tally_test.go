package store_test

import (
	"context"
	"fmt"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// tallyKey is what looks are summed by; the zero lot is the unknown one.
type tallyKey struct {
	organism, block, lot domain.ID
	week                 string
}

type tallySum struct{ looks, plants, infested int }

// The tallies are kept step by step; they must always equal the sums of the
// looks that stand, worked out here from what was sent.
func TestTalliesEqualTheSumsOfTheLooksThatStand(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	clock := &storetest.Clock{}
	clock.Set(storetest.Now())
	st := store.New(storetest.Pool(t, programURL), clock.Now)
	f := storetest.Fill(t, st, "Fernhollow")
	organisms, err := st.OrganismsByEPPO(t.Context(), f.Owner)
	require.NoError(t, err)
	owner := connect(t, ownerURL)
	rapid.Check(t, func(rt *rapid.T) {
		_, err := owner.Exec(context.Background(), `delete from look_sign; delete from look_finding; delete from look; delete from tally`)
		require.NoError(rt, err)
		ids := make([]domain.ID, 3)
		for i := range ids {
			ids[i] = storetest.NewID(t)
		}
		versions := map[domain.ID]int{}
		standing := map[domain.ID]scouting.Look{}
		for step := range rapid.IntRange(1, 8).Draw(rt, "steps") {
			id := rapid.SampledFrom(ids).Draw(rt, "look")
			look := drawLook(rt, f, []domain.ID{organisms["TRIAVA"], organisms["BEMITA"]})
			put := store.Put{ID: id, Expected: versions[id], Content: []byte(strconv.Itoa(step))}
			if _, err := st.PutLook(context.Background(), f.Owner, put, look); err != nil {
				rt.Fatalf("put: %v", err)
			}
			versions[id]++
			standing[id] = look
			require.Equal(rt, sumsOf(standing), tallies(rt, owner))
		}
	})
}

func drawLook(rt *rapid.T, f storetest.Filled, organisms []domain.ID) scouting.Look {
	x := scouting.Look{
		BlockID: rapid.SampledFrom([]domain.ID{f.Block, f.OtherBlock}).Draw(rt, "block"),
		LotID:   rapid.SampledFrom([]domain.ID{f.Lot, f.OtherLot, {}}).Draw(rt, "lot"),
		Purpose: rapid.SampledFrom([]scouting.Purpose{scouting.Planned, scouting.Planned, scouting.OnPurpose}).Draw(rt, "purpose"),
		// Noon at the site, so that the day there is the day here.
		LookedAt:  time.Date(2026, time.August, rapid.IntRange(10, 23).Draw(rt, "day"), 17, 0, 0, 0, time.UTC),
		Withdrawn: rapid.SampledFrom([]string{"", "", "wrong"}).Draw(rt, "withdrawn"),
	}
	n := rapid.IntRange(1, len(organisms)).Draw(rt, "targets")
	for _, organism := range rapid.Permutation(organisms).Draw(rt, "organisms")[:n] {
		target := scouting.Target{OrganismID: organism}
		if rapid.Bool().Draw(rt, "plant by plant") {
			for _, seen := range rapid.SliceOfN(rapid.Bool(), 1, 6).Draw(rt, "seen") {
				target.Plants = append(target.Plants, scouting.Plant{Seen: seen})
			}
		} else {
			target.PlantsLookedAt = rapid.IntRange(1, 200).Draw(rt, "plants")
			target.InfestedPlants = rapid.IntRange(0, target.PlantsLookedAt).Draw(rt, "infested")
		}
		x.Targets = append(x.Targets, target)
	}
	return x
}

func sumsOf(looks map[domain.ID]scouting.Look) map[tallyKey]tallySum {
	sums := map[tallyKey]tallySum{}
	for _, x := range looks {
		if x.Purpose == scouting.OnPurpose || x.Withdrawn != "" {
			continue
		}
		for _, target := range x.Targets {
			plants, infested := target.PlantsLookedAt, target.InfestedPlants
			for _, p := range target.Plants {
				plants++
				if p.Seen {
					infested++
				}
			}
			key := tallyKey{target.OrganismID, x.BlockID, x.LotID, "2026-08-10"}
			if x.LookedAt.Day() >= 17 { // 17 August 2026 is a Monday
				key.week = "2026-08-17"
			}
			was := sums[key]
			sums[key] = tallySum{was.looks + 1, was.plants + plants, was.infested + infested}
		}
	}
	return sums
}

// tallies reads what the table holds; a tally of no looks must be empty.
func tallies(t require.TestingT, owner *pgx.Conn) map[tallyKey]tallySum {
	rows, err := owner.Query(context.Background(), `select organism_id::text, block_id::text, coalesce(lot_id::text, ''), week_start::text,
		looks, plants, infested from tally`)
	require.NoError(t, err)
	all := map[tallyKey]tallySum{}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var organism, block, lot, week string
		var sum tallySum
		if err := row.Scan(&organism, &block, &lot, &week, &sum.looks, &sum.plants, &sum.infested); err != nil {
			return struct{}{}, err
		}
		key := tallyKey{parse(t, organism), parse(t, block), parse(t, lot), week}
		if sum != (tallySum{}) {
			all[key] = sum
		}
		return struct{}{}, nil
	})
	require.NoError(t, err)
	return all
}

func parse(t require.TestingT, text string) domain.ID {
	var id domain.ID
	require.NoError(t, id.UnmarshalText([]byte(text)))
	return id
}

// Two organisms named in opposite orders would wait for each other for ever if
// their tallies were taken in the order they are named in.
func TestLooksAtOneTallyAtOnceAddUp(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	clock := &storetest.Clock{}
	clock.Set(storetest.Now())
	st := store.New(storetest.Pool(t, programURL), clock.Now)
	f := storetest.Fill(t, st, "Fernhollow")
	organisms, err := st.OrganismsByEPPO(t.Context(), f.Owner)
	require.NoError(t, err)
	pair := []domain.ID{organisms["BEMITA"], organisms["FRANOC"]}
	var all sync.WaitGroup
	errs := make([]error, 40)
	for i := range errs {
		all.Go(func() {
			x := scouting.Look{BlockID: f.Block, LotID: f.Lot, LookedAt: f.LookAt, Purpose: scouting.Planned}
			for j := range pair {
				x.Targets = append(x.Targets, scouting.Target{OrganismID: pair[(i+j)%2], PlantsLookedAt: 10, InfestedPlants: 1})
			}
			id := storetest.NewID(t)
			if _, errs[i] = st.PutLook(t.Context(), f.Owner, store.Put{ID: id, Content: []byte(`{}`)}, x); errs[i] != nil || i%2 == 0 {
				return
			}
			x.Targets[0].InfestedPlants = 3 // and half of them are corrected
			_, errs[i] = st.PutLook(t.Context(), f.Owner, store.Put{ID: id, Expected: 1, Content: []byte(`{"n":2}`)}, x)
		})
	}
	all.Wait()
	for i, err := range errs {
		require.NoError(t, err, fmt.Sprint(i))
	}
	sums := tallies(t, connect(t, ownerURL))
	for _, organism := range pair {
		sum := sums[tallyKey{organism, f.Block, f.Lot, "2026-08-10"}]
		require.Equal(t, 40, sum.looks)
		require.Equal(t, 400, sum.plants)
	}
	infested := 0
	for _, organism := range pair {
		infested += sums[tallyKey{organism, f.Block, f.Lot, "2026-08-10"}].infested
	}
	require.Equal(t, 40*2+20*2, infested)
}
