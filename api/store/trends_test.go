package store_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// What the database brings together must be what stands in the looks and placements.
func TestTrendsHoldEveryLookAndWhatStoodThere(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	f := storetest.Fill(t, st, "Fernhollow")
	owner := connect(t, ownerURL)
	rapid.Check(t, func(rt *rapid.T) {
		looked, stood := drawSeason(rt, f)
		writeSeason(rt, owner, f, looked, stood)
		for by, keyOf := range map[trend.By]func(place) domain.ID{
			trend.ByLot:   func(p place) domain.ID { return p.lot },
			trend.ByBlock: func(p place) domain.ID { return p.block },
			trend.ByHouse: func(place) domain.ID { return f.House },
		} {
			found, err := st.Trends(context.Background(), f.Owner, store.TrendQuery{By: by, OrganismID: f.Organism})
			require.NoError(rt, err)
			got := map[string][]trend.Sample{}
			for _, g := range found.Groups {
				got[g.Key] = g.Weeks
			}
			want := samplesOf(looked, stood, keyOf)
			require.Len(rt, got, len(want), by)
			for key, samples := range want {
				requireSamples(rt, samples, got[key])
			}
		}
	})
}

type place struct {
	week       int // from the first Monday of September
	block, lot domain.ID
}

type lookedAt struct{ plants, infested int }

// stands is how many plants stood in a place from Tuesday on: until Friday, or until
// the week was over.
type stands struct {
	plants int
	toEnd  bool
}

func firstMonday(week int) time.Time {
	return time.Date(2026, time.September, 7+7*week, 0, 0, 0, 0, time.UTC)
}

func drawSeason(rt *rapid.T, f storetest.Filled) (map[place]lookedAt, map[place]stands) {
	looked, stood := map[place]lookedAt{}, map[place]stands{}
	for week := range 3 {
		for _, block := range []domain.ID{f.Block, f.OtherBlock} {
			for _, lot := range []domain.ID{f.Lot, f.OtherLot, {}} {
				p := place{week, block, lot}
				if rapid.Bool().Draw(rt, "looked") {
					plants := rapid.IntRange(1, 40).Draw(rt, "plants")
					looked[p] = lookedAt{plants, rapid.IntRange(0, plants).Draw(rt, "infested")}
				}
				if !lot.IsZero() && rapid.Bool().Draw(rt, "stands") {
					stood[p] = stands{rapid.IntRange(1, 300).Draw(rt, "standing"), rapid.Bool().Draw(rt, "to the end")}
				}
			}
		}
	}
	return looked, stood
}

// writeSeason puts tallies and placements in place.
func writeSeason(rt *rapid.T, owner *pgx.Conn, f storetest.Filled, looked map[place]lookedAt, stood map[place]stands) {
	batch := &pgx.Batch{}
	batch.Queue(`delete from tally`)
	batch.Queue(`delete from placement`)
	for p, n := range looked {
		batch.Queue(`insert into tally values ($1, $2, $3, $4, nullif($5, '')::uuid, $6, 1, $7, $8)`,
			f.Owner.OrganisationID.String(), f.Organism.String(), firstMonday(p.week).Format(time.DateOnly), p.block.String(), p.lot.String(),
			f.Site.String(), n.plants, n.infested)
	}
	for p, s := range stood {
		until := firstMonday(p.week).AddDate(0, 0, 4)
		if s.toEnd {
			until = firstMonday(p.week + 1).Add(5 * time.Hour) // midnight at the site
		}
		batch.Queue(`insert into placement values ($1, $2, $3, $4, $5, $6, $7)`, f.Owner.OrganisationID.String(), p.lot.String(), p.block.String(),
			firstMonday(p.week).AddDate(0, 0, 1), until, s.plants, f.Site.String())
	}
	require.NoError(rt, owner.SendBatch(context.Background(), batch).Close())
}

func samplesOf(looked map[place]lookedAt, stood map[place]stands, keyOf func(place) domain.ID) map[string][]trend.Sample {
	type group struct {
		key  string
		week int
	}
	clusters, plants, blocks := map[group][]trend.Cluster{}, map[group]int{}, map[group][]domain.ID{}
	of := func(p place) group {
		if keyOf(p).IsZero() {
			return group{"", p.week}
		}
		return group{keyOf(p).String(), p.week}
	}
	for p, n := range looked {
		clusters[of(p)] = append(clusters[of(p)], trend.Cluster{BlockID: p.block, Looks: 1, Plants: n.plants, Infested: n.infested, Standing: stood[p].plants})
	}
	for p, s := range stood {
		if !s.toEnd {
			continue
		}
		plants[of(p)] += s.plants
		if !slices.Contains(blocks[of(p)], p.block) {
			blocks[of(p)] = append(blocks[of(p)], p.block)
		}
	}
	samples := map[string][]trend.Sample{}
	for week := range 3 {
		for g, c := range clusters {
			if g.week == week {
				samples[g.key] = append(samples[g.key], trend.SampleOf(domain.DateOf(firstMonday(week)), c, plants[g], len(blocks[g])))
			}
		}
	}
	return samples
}

func requireSamples(rt *rapid.T, want, got []trend.Sample) {
	require.Len(rt, got, len(want))
	for i, w := range want {
		g := got[i]
		for _, pair := range [][2]*float64{
			{&w.PlantsSquared, &g.PlantsSquared},
			{&w.InfestedSquaredPerPlant, &g.InfestedSquaredPerPlant},
			{&w.Standing, &g.Standing},
			{&w.StandingSquared, &g.StandingSquared},
			{&w.StandingSquaredPerPlant, &g.StandingSquaredPerPlant},
			{&w.StandingInfested, &g.StandingInfested},
			{&w.PlantsSquaredPerStand, &g.PlantsSquaredPerStand},
		} {
			require.InDelta(rt, *pair[0], *pair[1], 1e-6*(1+*pair[0]))
			*pair[1] = *pair[0]
		}
		require.Equal(rt, w, g)
	}
}

// A lot moved on Thursday stands in one place at the end of the week, not in two.
func TestALotMovedDuringTheWeekIsCountedOnce(t *testing.T) {
	t.Parallel()
	_, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	f := storetest.Fill(t, st, "Fernhollow") // 1,000 plants stuck in a block on 5 August, looked at on the 12th
	moved := stock.Movement{
		LotID: f.Lot, Kind: stock.Move, Plants: 1000, MovedAt: f.LookAt.AddDate(0, 0, 1), FromBlockID: f.Block, ToBlockID: f.OtherBlock,
	}
	_, err := st.PutMovement(t.Context(), f.Owner, store.Put{ID: storetest.NewID(t), Content: []byte(`{}`)}, moved)
	require.NoError(t, err)
	found, err := st.Trends(t.Context(), f.Owner, store.TrendQuery{By: trend.ByLot})
	require.NoError(t, err)
	require.Len(t, found.Groups, 1)
	week := found.Groups[0].Weeks[0]
	require.Equal(t, []int{1000, 1}, []int{week.StandingPlants, week.StandingBlocks})
	require.InDelta(t, 1000, week.Standing, 0, "they did stand where they were looked at")
}

// What groups have in common is read from all of the season, however narrow the question.
func TestANarrowQuestionKeepsTheWholeSeasonBesideIt(t *testing.T) {
	t.Parallel()
	_, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	f := storetest.Fill(t, st, "Fernhollow")
	look := scouting.Look{
		BlockID: f.OtherBlock, LotID: f.OtherLot, LookedAt: f.LookAt, Purpose: scouting.Planned,
		Targets: []scouting.Target{{OrganismID: f.Organism, PlantsLookedAt: 20, InfestedPlants: 5}},
	}
	_, err := st.PutLook(t.Context(), f.Owner, store.Put{ID: storetest.NewID(t), Content: []byte(`{}`)}, look)
	require.NoError(t, err)
	all, err := st.Trends(t.Context(), f.Owner, store.TrendQuery{By: trend.ByLot})
	require.NoError(t, err)
	require.Len(t, all.Groups, 2)
	one, err := st.Trends(t.Context(), f.Owner, store.TrendQuery{By: trend.ByLot, LotID: f.OtherLot})
	require.NoError(t, err)
	require.Len(t, one.Groups, 1)
	require.Equal(t, all.All, one.All)
}
