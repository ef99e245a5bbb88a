package trend_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/trend"
)

// truth is what an invented season is made of: how far arrivals, houses and the
// places of one arrival in one house lie apart in log odds.
type truth struct{ arrivals, houses, patches float64 }

// season has 12 arrivals in 6 houses, each in so many of them, for 10 weeks.
func (x truth) season(random *rand.Rand, housesEach int) []trend.Traced {
	var looks []trend.Traced
	houses := make([]float64, 6)
	for i := range houses {
		houses[i] = x.houses * random.NormFloat64()
	}
	for arrival := range 12 {
		own := x.arrivals * random.NormFloat64()
		for _, house := range random.Perm(len(houses))[:housesEach] {
			patch := x.patches * random.NormFloat64()
			for week := arrival / 4; week < 10; week++ {
				odds := math.Exp(-3 + 0.15*float64(week) + own + houses[house] + patch + 0.3*random.NormFloat64())
				infested := 0
				for range 20 {
					if random.Float64() < odds/(1+odds) {
						infested++
					}
				}
				looks = append(looks, traced(arrival, house, week, infested, 20))
			}
		}
	}
	return looks
}

// Seasons whose truth is known, a hundred of each: how often what was made is
// what is said. By chance alone each term counts in one season of twenty.
func TestWhatInventedSeasonsFollowIsRecognised(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		truth      truth
		housesEach int
		want       trend.OriginCode
		atLeast    int
	}{
		"arrivals":                      {truth{0.8, 0, 0}, 3, trend.FollowsArrival, 90},
		"arrivals, with patches":        {truth{1, 0, 0.4}, 3, trend.FollowsArrival, 85},
		"houses":                        {truth{0, 0.8, 0}, 3, trend.FollowsHouse, 90},
		"houses, with patches":          {truth{0, 1, 0.4}, 3, trend.FollowsHouse, 85},
		"both":                          {truth{1, 1, 0.2}, 3, trend.FollowsBoth, 90},
		"nothing":                       {truth{0, 0, 0}, 3, trend.FollowsNeither, 85},
		"patches alone":                 {truth{0, 0, 0.7}, 3, trend.FollowsNeither, 80},
		"arrivals, each in one house":   {truth{0.8, 0, 0}, 1, trend.CannotBeToldApart, 90},
		"houses, each with its own":     {truth{0, 0.8, 0}, 1, trend.CannotBeToldApart, 90},
		"patches that look like origin": {truth{0, 0, 0.7}, 1, trend.CannotBeToldApart, 85},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			random := rand.New(rand.NewPCG(1, 2))
			said := map[trend.OriginCode]int{}
			for range 100 {
				said[originOf(t, c.truth.season(random, c.housesEach)).Code]++
			}
			t.Log(said)
			require.GreaterOrEqual(t, said[c.want], c.atLeast, "%v", said)
		})
	}
}

// A large season: 60 arrivals, each in 4 of 14 houses, for 20 weeks; every fifth
// arrival has no find.
func BenchmarkOrigin(b *testing.B) {
	var looks []trend.Traced
	for arrival := range 60 {
		for n := range 4 {
			for week := range 20 {
				house := (arrival + 3*n) % 14
				infested := (arrival*7 + house*5 + week*3) % 9
				if arrival%5 == 0 {
					infested = 0
				}
				looks = append(looks, traced(arrival, house, week, infested, 20))
			}
		}
	}
	for b.Loop() {
		if _, err := trend.OriginOf(looks); err != nil {
			b.Fatal(err)
		}
	}
}
