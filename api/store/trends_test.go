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
	"benchtrail/domain/trend"
)

// The database sums over blocks and lots; the sums must be those that the domain
// makes of the same looks and placements.
func TestTrendsSumWhatTheDomainWouldSum(t *testing.T) {
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

func firstMonday(week int) time.Time {
	return time.Date(2026, time.September, 7+7*week, 0, 0, 0, 0, time.UTC)
}

func drawSeason(rt *rapid.T, f storetest.Filled) (map[place]lookedAt, map[place]int) {
	looked, stood := map[place]lookedAt{}, map[place]int{}
	for week := range 3 {
		for _, block := range []domain.ID{f.Block, f.OtherBlock} {
			for _, lot := range []domain.ID{f.Lot, f.OtherLot, {}} {
				p := place{week, block, lot}
				if rapid.Bool().Draw(rt, "looked") {
					plants := rapid.IntRange(1, 40).Draw(rt, "plants")
					looked[p] = lookedAt{plants, rapid.IntRange(0, plants).Draw(rt, "infested")}
				}
				if !lot.IsZero() && rapid.Bool().Draw(rt, "stands") {
					stood[p] = rapid.IntRange(1, 300).Draw(rt, "standing")
				}
			}
		}
	}
	return looked, stood
}

// writeSeason puts tallies in place, and placements from Tuesday to Friday of their week.
func writeSeason(rt *rapid.T, owner *pgx.Conn, f storetest.Filled, looked map[place]lookedAt, stood map[place]int) {
	batch := &pgx.Batch{}
	batch.Queue(`delete from tally`)
	batch.Queue(`delete from placement`)
	for p, n := range looked {
		batch.Queue(`insert into tally values ($1, $2, $3, $4, nullif($5, '')::uuid, $6, 1, $7, $8)`,
			f.Owner.OrganisationID.String(), f.Organism.String(), firstMonday(p.week).Format(time.DateOnly), p.block.String(), p.lot.String(),
			f.Site.String(), n.plants, n.infested)
	}
	for p, plants := range stood {
		batch.Queue(`insert into placement values ($1, $2, $3, $4, $5, $6, $7)`, f.Owner.OrganisationID.String(), p.lot.String(), p.block.String(),
			firstMonday(p.week).AddDate(0, 0, 1), firstMonday(p.week).AddDate(0, 0, 4), plants, f.Site.String())
	}
	require.NoError(rt, owner.SendBatch(context.Background(), batch).Close())
}

func samplesOf(looked map[place]lookedAt, stood map[place]int, keyOf func(place) domain.ID) map[string][]trend.Sample {
	type group struct {
		key  string
		week int
	}
	clusters, plants, blocks := map[group][]trend.Cluster{}, map[group]int{}, map[group][]domain.ID{}
	name := func(id domain.ID) string {
		if id.IsZero() {
			return ""
		}
		return id.String()
	}
	for p, n := range looked {
		g := group{name(keyOf(p)), p.week}
		clusters[g] = append(clusters[g], trend.Cluster{LotID: p.lot, BlockID: p.block, Looks: 1, Plants: n.plants, Infested: n.infested, Standing: stood[p]})
	}
	for p, standing := range stood {
		g := group{name(keyOf(p)), p.week}
		plants[g] += max(standing, looked[p].plants)
		if !slices.Contains(blocks[g], p.block) {
			blocks[g] = append(blocks[g], p.block)
		}
	}
	for p, n := range looked {
		if g := (group{name(keyOf(p)), p.week}); stood[p] == 0 { // what was looked at stood there, however many more did
			plants[g] += n.plants
			if !slices.Contains(blocks[g], p.block) {
				blocks[g] = append(blocks[g], p.block)
			}
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
