package simulation_test

import (
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/simulation"
	"benchtrail/domain/stock"
)

var whitefly = domain.ID{0xbe}

func known() simulation.Known {
	k := simulation.Known{
		Organisms: map[string]domain.ID{simulation.WhiteflyEPPO: whitefly},
		People:    map[string]domain.ID{},
	}
	for i, p := range simulation.People() {
		k.People[p.Key] = domain.ID{0x70, byte(i)}
	}
	return k
}

// demoMorning is when the demo opens: 14 September, 08:00 at the first site.
func demoMorning(t testing.TB) time.Time {
	t.Helper()
	zone, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	return time.Date(2026, time.September, 14, 8, 0, 0, 0, zone)
}

func tell(t testing.TB, seed uint64, upTo time.Time) simulation.Season {
	t.Helper()
	s, err := simulation.NewSeason(seed, upTo, known())
	require.NoError(t, err)
	return s
}

func demo(t testing.TB) simulation.Season {
	t.Helper()
	return tell(t, simulation.DemoSeed, demoMorning(t))
}

// latest gives the last version of each record of a type, by id.
func latest[T any](s simulation.Season, id func(T) domain.ID) map[domain.ID]T {
	all := map[domain.ID]T{}
	for _, r := range simulation.All[T](s.Events) {
		all[id(r)] = r
	}
	return all
}

func lotsOf(s simulation.Season) map[domain.ID]stock.Lot {
	return latest(s, func(l stock.Lot) domain.ID { return l.ID })
}

func shipmentsOf(s simulation.Season) map[domain.ID]stock.Shipment {
	return latest(s, func(x stock.Shipment) domain.ID { return x.ID })
}

func looksOf(s simulation.Season) map[domain.ID]scouting.Look {
	return latest(s, func(l scouting.Look) domain.ID { return l.ID })
}

// bookOf folds the movements of all lots, those that a split or merge made as well.
func bookOf(s simulation.Season) stock.Book {
	lots, movements := slices.Collect(maps.Values(lotsOf(s))), simulation.All[stock.Movement](s.Events)
	for _, m := range movements {
		for _, id := range m.Births() {
			lots = append(lots, stock.Lot{ID: id})
		}
	}
	return stock.FoldBook(lots, movements)
}

// cultivarsOf gives the cultivar of every lot, also of those born of others.
func cultivarsOf(s simulation.Season) map[domain.ID]domain.ID {
	of := map[domain.ID]domain.ID{}
	for id, l := range lotsOf(s) {
		of[id] = l.CultivarID
	}
	for _, m := range simulation.All[stock.Movement](s.Events) {
		for _, id := range m.Births() {
			of[id] = of[m.Sources()[0]]
		}
	}
	return of
}

// livesOf gives what the movements of every lot add up to.
func livesOf(t *testing.T, s simulation.Season) map[domain.ID]stock.Account {
	t.Helper()
	book := bookOf(s)
	require.Empty(t, book.Conflicts)
	lives := map[domain.ID]stock.Account{}
	for _, a := range book.Accounts {
		lives[a.Lot.ID] = a
	}
	return lives
}

// sameStart requires that the events and true counts of a part are those that the
// whole begins with. One by one, so that a difference is shown by itself.
func sameStart(t *testing.T, whole, part simulation.Season) {
	t.Helper()
	for i, e := range part.Events {
		require.Equal(t, whole.Events[i], e)
	}
	for i, c := range part.Truth.WeeklyCount {
		if whole.Truth.WeeklyCount[i] != c {
			require.Equal(t, whole.Truth.WeeklyCount[i], c)
		}
	}
}

func TestTheSameSeedTellsTheSameSeason(t *testing.T) {
	t.Parallel()
	morning := demoMorning(t)
	one, again, other := tell(t, 7, morning), tell(t, 7, morning), tell(t, 8, morning)
	require.Len(t, again.Events, len(one.Events))
	sameStart(t, one, again)
	require.Equal(t, one.Truth.FarmShares, again.Truth.FarmShares)
	require.NotEqual(t, one.Truth.FarmShares, other.Truth.FarmShares)
	require.NotEqual(t, len(one.Events), len(other.Events))
}

func TestAnEarlierMomentTellsTheFirstPart(t *testing.T) {
	t.Parallel()
	morning := demoMorning(t)
	whole := tell(t, 3, morning.AddDate(0, 0, 10))
	for _, upTo := range []time.Time{
		morning.AddDate(-1, 0, 0), morning.AddDate(0, -1, -3), morning.Add(2 * time.Hour),
	} {
		part := tell(t, 3, upTo)
		require.Less(t, len(part.Events), len(whole.Events))
		sameStart(t, whole, part)
		require.True(t, whole.Events[len(part.Events)].At.After(upTo))
	}
}

func TestASeasonNeedsToKnowItsPest(t *testing.T) {
	t.Parallel()
	_, err := simulation.NewSeason(1, demoMorning(t), simulation.Known{})
	require.ErrorIs(t, err, simulation.ErrNoWhitefly)
}

func TestTheDemoHasItsSize(t *testing.T) {
	t.Parallel()
	s := demo(t)
	zones := map[string]bool{}
	for _, x := range simulation.All[place.Site](s.Events) {
		zones[x.TimeZone] = true
	}
	require.Len(t, zones, 3)
	require.Len(t, simulation.All[place.House](s.Events), 14)
	require.Len(t, simulation.All[place.Section](s.Events), 8)
	require.Len(t, simulation.All[place.Block](s.Events), 403)
	require.Len(t, simulation.All[stock.Supplier](s.Events), 5)
	require.Len(t, simulation.All[stock.Farm](s.Events), 9)
	require.Len(t, simulation.All[stock.Crop](s.Events), 1)
	require.Len(t, simulation.All[stock.Cultivar](s.Events), 24)
	require.Len(t, simulation.All[stock.Season](s.Events), 1)
	require.Len(t, lotsOf(s), 161)
	looks := len(looksOf(s))
	require.GreaterOrEqual(t, looks, 2000)
	require.LessOrEqual(t, looks, 2500)

	arrived, unnamed, grown := 0, 0, map[domain.ID]bool{}
	for _, x := range shipmentsOf(s) {
		if !x.DockedAt.IsZero() {
			arrived++
		}
	}
	forms := map[stock.Form]int{}
	for _, l := range lotsOf(s) {
		forms[l.Form]++
		grown[l.CultivarID] = true
		if len(l.FarmIDs) == 0 {
			unnamed++
		}
	}
	require.Equal(t, 24, arrived)
	require.Len(t, grown, 24, "every cultivar is grown")
	require.Positive(t, unnamed)
	require.Greater(t, forms[stock.Unrooted], forms[stock.Rooted])
	require.Positive(t, forms[stock.Callused])
	require.Positive(t, forms[stock.Rooted])
}

func TestSomeOrdersComeShortOrSubstituted(t *testing.T) {
	t.Parallel()
	short, substituted, warm := 0, 0, 0
	for _, x := range shipmentsOf(demo(t)) {
		for _, line := range x.OrderLines {
			require.Equal(t, x.DockedAt.IsZero(), line.Invoiced == nil)
			if line.Invoiced != nil && *line.Invoiced < line.Ordered && *line.Invoiced > 0 {
				short++
			}
			if !line.SubstituteForID.IsZero() {
				substituted++
			}
		}
		for _, b := range x.Boxes {
			if b.TemperatureC != nil && *b.TemperatureC > 18 {
				warm++
			}
		}
	}
	require.Positive(t, short)
	require.Positive(t, substituted)
	require.Positive(t, warm)
}

// The dock and the lists have something to do on the morning of the demo.
func TestTheDemoMorningHasWork(t *testing.T) {
	t.Parallel()
	s, morning := demo(t), demoMorning(t)
	today := domain.DateOf(morning)
	shipments, lots, lives := shipmentsOf(s), lotsOf(s), livesOf(t, s)
	hours := map[domain.ID]int{}
	for _, x := range simulation.All[stock.Supplier](s.Events) {
		require.GreaterOrEqual(t, x.ClaimHours, 24)
		require.LessOrEqual(t, x.ClaimHours, 72)
		hours[x.ID] = x.ClaimHours
	}
	expected, overdue, claims := 0, 0, 0
	for _, x := range shipments {
		switch {
		case x.DockedAt.IsZero() && x.ExpectedOn.Before(today):
			overdue++
		case x.DockedAt.IsZero():
			expected++
		case x.ClaimEnd(hours[x.SupplierID]).After(morning):
			claims++
		}
	}
	require.Equal(t, []int{1, 2, 2}, []int{overdue, expected, claims})

	inspected := map[arrival.Occasion]map[domain.ID]bool{arrival.AtDock: {}, arrival.SecondLook: {}}
	for _, x := range simulation.All[arrival.Inspection](s.Events) {
		inspected[x.Occasion][x.LotID] = true
	}
	crop := simulation.All[stock.Crop](s.Events)[0]
	zones := zonesOf(t, s)
	waiting, states := 0, map[arrival.DueState]int{}
	for id, l := range lots {
		if !inspected[arrival.AtDock][id] {
			waiting++
		}
		if inspected[arrival.SecondLook][id] || lives[id].Tally.OnHand() == 0 {
			continue
		}
		zone := zones[shipments[l.ShipmentID].SiteID]
		l.ArrivedOn = shipments[l.ShipmentID].DateAtSite(zone)
		stuck := domain.Date{}
		if at := lives[id].Steps.StuckAt; !at.IsZero() {
			stuck = domain.DateOf(at.In(zone))
		}
		states[arrival.SecondLookOf(l, crop, stuck, today).StateOnTheDay]++
	}
	require.GreaterOrEqual(t, waiting, 6)
	require.LessOrEqual(t, waiting, 10)
	require.Equal(t, 1, states[arrival.Late])
	require.Positive(t, states[arrival.Due])
}

func zonesOf(t *testing.T, s simulation.Season) map[domain.ID]*time.Location {
	t.Helper()
	zones := map[domain.ID]*time.Location{}
	for _, x := range simulation.All[place.Site](s.Events) {
		zone, err := x.Location()
		require.NoError(t, err)
		zones[x.ID] = zone
	}
	return zones
}

func TestMovementsAddUpToWhatStands(t *testing.T) {
	t.Parallel()
	s := demo(t)
	lives := livesOf(t, s)
	lastSunday := domain.DateOf(demoMorning(t)).AddDays(-7)
	stands := map[[2]domain.ID]int{}
	for _, c := range s.Truth.WeeklyCount {
		if c.WeekStart == lastSunday {
			stands[[2]domain.ID{c.LotID, c.BlockID}] = c.Plants
		}
	}
	placed, mostBlocks := map[[2]domain.ID]int{}, 0
	for id, life := range lives {
		now := map[domain.ID]bool{}
		for _, p := range life.Placements {
			if p.To.IsZero() {
				placed[[2]domain.ID{id, p.BlockID}] = p.Plants
				now[p.BlockID] = true
			}
		}
		mostBlocks = max(mostBlocks, len(now))
	}
	require.Equal(t, stands, placed)
	require.GreaterOrEqual(t, mostBlocks, 3, "some lot stands in several blocks")

	kinds := map[stock.Kind]int{}
	for _, m := range simulation.All[stock.Movement](s.Events) {
		kinds[m.Kind]++
	}
	for _, k := range []stock.Kind{stock.Receive, stock.Stick, stock.Pot, stock.Move, stock.Discard} {
		require.Positive(t, kinds[k], k)
	}
}

func TestNobodyRecordsWithoutBeingThere(t *testing.T) {
	t.Parallel()
	people := simulation.People()
	for _, e := range demo(t).Events {
		require.True(t, slices.ContainsFunc(people, func(p simulation.Person) bool { return p.Key == e.By }), e.By)
	}
}

func BenchmarkSeason(b *testing.B) {
	morning := demoMorning(b)
	for b.Loop() {
		tell(b, simulation.DemoSeed, morning)
	}
}
