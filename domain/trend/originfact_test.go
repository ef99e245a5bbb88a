package trend_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

func TestFactsPointWhereTheirRuleSays(t *testing.T) {
	t.Parallel()
	arrived := domain.NewDate(2026, time.August, 3)
	// Found in the second week after arrival, on old growth; a tenth of the neighbours were infested.
	early := trend.OriginFact{
		ArrivedOn: arrived, Dock: trend.Found{Plants: 57}, FirstLook: arrived.AddDays(7), FirstSeen: arrived.AddDays(14),
		Seen: trend.Found{Plants: 20, Infested: 4}, OldGrowth: 3, NewGrowth: 1, Neighbours: trend.Found{Plants: 40, Infested: 4},
	}
	for name, c := range map[string]struct {
		change func(*trend.OriginFact)
		want   string
	}{
		"found early on old growth":            {func(*trend.OriginFact) {}, trend.PointsToArrival},
		"found at the dock":                    {func(f *trend.OriginFact) { *f = trend.OriginFact{Dock: trend.Found{Plants: 57, Infested: 1}} }, trend.PointsToArrival},
		"found at the second look":             {func(f *trend.OriginFact) { *f = trend.OriginFact{Second: trend.Found{Plants: 30, Infested: 1}} }, trend.PointsToArrival},
		"later than two weeks":                 {func(f *trend.OriginFact) { f.FirstSeen = arrived.AddDays(21) }, trend.PointsToHouse},
		"as much on new growth":                {func(f *trend.OriginFact) { f.NewGrowth = 3 }, trend.PointsToHouse},
		"neighbours had as many":               {func(f *trend.OriginFact) { f.Neighbours.Infested = 8 }, trend.PointsToHouse},
		"neighbours had none, later":           {func(f *trend.OriginFact) { f.Neighbours.Infested, f.FirstSeen = 0, arrived.AddDays(21) }, trend.PointsToNothing},
		"neighbours not looked at":             {func(f *trend.OriginFact) { f.Neighbours = trend.Found{} }, trend.PointsToNothing},
		"too few looked at on arrival":         {func(f *trend.OriginFact) { f.Dock.Plants, f.FirstSeen = 19, arrived.AddDays(21) }, trend.PointsToNothing},
		"enough with those of the second look": {func(f *trend.OriginFact) { f.Dock.Plants, f.Second.Plants, f.FirstSeen = 10, 10, arrived.AddDays(21) }, trend.PointsToHouse},
		"never found":                          {func(f *trend.OriginFact) { f.FirstSeen = domain.Date{} }, trend.PointsToNothing},
		"nothing known":                        {func(f *trend.OriginFact) { *f = trend.OriginFact{} }, trend.PointsToNothing},
	} {
		fact := early
		c.change(&fact)
		require.Equal(t, c.want, fact.PointsTo(), name)
	}
}

func TestAFindOnArrivalAlwaysPointsToIt(t *testing.T) {
	t.Parallel()
	found := rapid.Custom(func(t *rapid.T) trend.Found {
		plants := rapid.IntRange(0, 500).Draw(t, "plants")
		return trend.Found{Plants: plants, Infested: rapid.IntRange(0, plants).Draw(t, "infested")}
	})
	rapid.Check(t, func(t *rapid.T) {
		f := trend.OriginFact{
			ArrivedOn: domain.NewDate(2026, time.August, 3), FirstSeen: domain.NewDate(2026, time.August, rapid.IntRange(-7, 60).Draw(t, "day")),
			Dock: found.Draw(t, "dock"), Second: found.Draw(t, "second"), Seen: found.Draw(t, "seen"), Neighbours: found.Draw(t, "neighbours"),
			OldGrowth: rapid.IntRange(0, 9).Draw(t, "old"), NewGrowth: rapid.IntRange(0, 9).Draw(t, "new"),
		}
		require.Contains(t, []string{trend.PointsToArrival, trend.PointsToHouse, trend.PointsToNothing}, f.PointsTo())
		if f.Dock.Infested+f.Second.Infested > 0 {
			require.Equal(t, trend.PointsToArrival, f.PointsTo())
		}
	})
}
