package simulation_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/simulation"
	"benchtrail/domain/stock"
)

func TestTheBookOfEverySeasonHasNoConflictAndAddsUp(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{simulation.DemoSeed, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10} {
		for _, upTo := range []time.Time{demoMorning(t), demoMorning(t).AddDate(0, 3, 0)} {
			book := bookOf(tell(t, seed, upTo))
			require.Empty(t, book.Conflicts, "seed %d", seed)
			for _, a := range book.Accounts {
				x := a.Tally
				require.Equal(t, x.In, x.Unplaced+x.Placed+x.Discarded+x.Dispatched+x.SplitOff+x.MergedAway+x.Lost-x.Gained)
				require.NotEqual(t, stock.NotBorn, a.State)
			}
		}
	}
}

func TestTheDemoHasEverythingThatABookCanHold(t *testing.T) {
	t.Parallel()
	s := demo(t)
	kinds := map[stock.Kind]int{}
	zeros, destroyed, spaced := 0, 0, 0
	for _, m := range simulation.All[stock.Movement](s.Events) {
		kinds[m.Kind]++
		switch {
		case m.Kind == stock.Dispatch:
			require.NotEmpty(t, m.PaperNumber)
			if strings.HasPrefix(m.PaperNumber, "0") {
				zeros++
			}
		case m.Kind == stock.Discard && m.PaperNumber != "":
			destroyed++
		case m.Kind == stock.Space && m.FromBlockID == m.ToBlockID:
			spaced++
		}
	}
	require.Len(t, kinds, 12, "every kind of movement")
	for _, n := range []int{zeros, destroyed, spaced} {
		require.Positive(t, n)
	}
	require.GreaterOrEqual(t, kinds[stock.Split], 3)
	require.LessOrEqual(t, kinds[stock.Split], 15)
	require.GreaterOrEqual(t, kinds[stock.Dispatch], 5)
	claims := latest(s, func(x arrival.Claim) domain.ID { return x.ID })
	require.NotEmpty(t, claims)
	for _, x := range claims {
		require.NotEmpty(t, x.Items)
		require.False(t, x.SentAt.IsZero())
		require.Equal(t, x.AnsweredAt.IsZero(), x.Credit == arrival.Credit{})
	}
	require.Len(t, simulation.All[stock.Customer](s.Events), 4)

	from := map[domain.ID]domain.ID{}
	for id, l := range lotsOf(s) {
		from[id] = l.ShipmentID
	}
	mixed := 0
	for _, a := range bookOf(s).Accounts {
		shipments := map[domain.ID]bool{}
		for _, share := range a.Composition {
			shipments[from[share.LotID]] = true
		}
		if len(shipments) > 1 && a.Tally.OnHand() > 0 {
			mixed++
		}
	}
	require.GreaterOrEqual(t, mixed, 2)

	results := map[stock.Result]int{}
	for _, x := range latest(s, func(x stock.LabSample) domain.ID { return x.ID }) {
		results[x.Result]++
	}
	require.Equal(t, map[stock.Result]int{stock.Waiting: 1, stock.NotFound: 1}, results)
	tanks, trolleys, quarantines := map[string]bool{}, map[string]bool{}, map[domain.ID]bool{}
	for _, b := range simulation.All[place.Block](s.Events) {
		tanks[b.Water], trolleys[b.Tools] = true, true
		if b.Quarantine {
			quarantines[b.SiteID] = true
		}
	}
	require.Equal(t, []int{3, 3, 3}, []int{len(tanks), len(trolleys), len(quarantines)})
}

func TestCuttingsAreCountedAboutThreeWeeksAfterSticking(t *testing.T) {
	t.Parallel()
	s := demo(t)
	counted, usual := 0, 0
	for id, life := range livesOf(t, s) {
		if life.Strike.Stuck == 0 {
			continue
		}
		days := life.Steps.RootedAt.Sub(life.Steps.StuckAt).Hours() / 24
		require.Greater(t, days, 20.0)
		require.Less(t, days, 31.0)
		require.NotEqual(t, stock.Rooted, lotsOf(s)[id].Form)
		counted++
		if share := float64(life.Strike.Rooted) / float64(life.Strike.Stuck); share >= 0.9 && share <= 0.99 {
			usual++
		} else {
			require.Greater(t, share, 0.7)
		}
	}
	require.Greater(t, counted, 50)
	require.Greater(t, usual, counted*9/10)
}

// holdsOf gives the holds of a season, those of verdicts among them.
func holdsOf(s simulation.Season) []stock.Hold {
	holds := slices.Collect(maps.Values(latest(s, func(h stock.Hold) domain.ID { return h.ID })))
	lotOf, open := map[domain.ID]domain.ID{}, map[domain.ID]int{}
	for _, e := range s.Events {
		switch x := e.Record.(type) {
		case arrival.Inspection:
			lotOf[x.ID] = x.LotID
		case arrival.Verdict:
			lot := lotOf[x.InspectionID]
			if i, held := open[lot]; held {
				holds[i].To = e.At
				delete(open, lot)
			}
			if x.Decision == arrival.Hold || x.Decision == arrival.Reject {
				open[lot] = len(holds)
				holds = append(holds, stock.Hold{
					ID: x.ID, Scope: stock.ScopeLot, ScopeID: lot, Kind: stock.InternalHold, From: e.At,
					ByVerdict: true, Rejects: x.Decision == arrival.Reject,
				})
			}
		}
	}
	return holds
}

func TestWhatIsDoneDuringAHoldIsFreeOrMarked(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{simulation.DemoSeed, 1, 2, 3} {
		for _, upTo := range []time.Time{demoMorning(t), demoMorning(t).AddDate(0, 2, 0)} {
			s := tell(t, seed, upTo)
			spots := map[domain.ID]stock.Spot{}
			for _, b := range simulation.All[place.Block](s.Events) {
				spots[b.ID] = stock.Spot{HouseID: b.HouseID, SiteID: b.SiteID, Quarantine: b.Quarantine}
			}
			movements := simulation.All[stock.Movement](s.Events)
			held := map[domain.ID]bool{}
			for _, b := range bookOf(s).Under(holdsOf(s), spots).Breaches(movements) {
				held[b.Movement.ID] = true
			}
			marked := 0
			for _, m := range movements {
				require.Equal(t, held[m.ID], m.AlthoughHeld, "a %s of %s", m.Kind, m.MovedAt)
				if m.AlthoughHeld {
					marked++
				}
			}
			if seed == simulation.DemoSeed {
				require.Positive(t, marked)
			}
			require.Less(t, marked, 8, "it stays the exception")
		}
	}
}

func TestTheDemoOpensWithOneHoldInForceAndOneLifted(t *testing.T) {
	t.Parallel()
	s, morning := demo(t), demoMorning(t)
	inForce := map[stock.HoldKind]bool{}
	for _, h := range latest(s, func(h stock.Hold) domain.ID { return h.ID }) {
		inForce[h.Kind] = h.At(morning)
	}
	require.Equal(t, map[stock.HoldKind]bool{stock.InternalHold: false, stock.SupplierHold: true}, inForce)
	inQuarantine := 0
	blocks := latest(s, func(b place.Block) domain.ID { return b.ID })
	for _, life := range livesOf(t, s) {
		for _, p := range life.Placements {
			if p.To.IsZero() && blocks[p.BlockID].Quarantine {
				inQuarantine++
			}
		}
	}
	require.Equal(t, 1, inQuarantine)
}
