package place_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/place"
)

func codes(t *testing.T, err error) []string {
	t.Helper()
	if err == nil {
		return nil
	}
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		all = append(all, f.Path+" "+f.Code)
	}
	return all
}

func TestASiteNeedsANameAndATimeZone(t *testing.T) {
	t.Parallel()
	for zone, want := range map[string][]string{
		"America/Chicago": nil, "Europe/Madrid": nil, "UTC": nil,
		"":                 {"/time_zone unknown_time_zone"},
		"Local":            {"/time_zone unknown_time_zone"},
		"Chicago":          {"/time_zone unknown_time_zone"},
		"../../etc/passwd": {"/time_zone unknown_time_zone"},
	} {
		require.Equal(t, want, codes(t, place.Site{Name: "North", TimeZone: zone}.Check()), "%q", zone)
	}
	require.Equal(t, []string{"/name missing"}, codes(t, place.Site{TimeZone: "UTC"}.Check()))
}

// Chicago keeps its clocks 6 hours behind UTC in winter and 5 in summer (IANA
// time zone database).
func TestTheClocksOfASiteFollowItsZone(t *testing.T) {
	t.Parallel()
	zone, err := place.Site{TimeZone: "America/Chicago"}.Location()
	require.NoError(t, err)
	for month, hours := range map[time.Month]int{time.January: -6, time.July: -5} {
		_, offset := time.Date(2026, month, 10, 12, 0, 0, 0, zone).Zone()
		require.Equal(t, hours*60*60, offset)
	}
	for _, name := range []string{"", "Local"} {
		_, err := place.Site{TimeZone: name}.Location()
		require.Equal(t, []string{"/time_zone missing"}, codes(t, err))
	}
}

func TestHousesSectionsAndBlocksNeedTheirPlaceAndName(t *testing.T) {
	t.Parallel()
	id := domain.ID{15: 1}
	require.NoError(t, place.House{SiteID: id, Name: "4"}.Check())
	require.NoError(t, place.Section{SiteID: id, Name: "East"}.Check())
	require.NoError(t, place.Block{HouseID: id, Name: "4-11"}.Check())
	require.Equal(t, []string{"/site_id missing", "/name missing"}, codes(t, place.House{}.Check()))
	require.Equal(t, []string{"/site_id missing", "/name missing"}, codes(t, place.Section{}.Check()))
	require.Equal(t, []string{"/house_id missing", "/name missing", "/position too_small"}, codes(t, place.Block{Position: -1}.Check()))
}

func TestRoundRulesDoNotAskForFewerPlantsThanTheLeast(t *testing.T) {
	t.Parallel()
	site := func(least, most int) place.Site {
		return place.Site{Name: "North", TimeZone: "UTC", RoundRules: place.RoundRules{PlantsPerBlockLeast: least, PlantsPerBlockMost: most}}
	}
	for _, good := range []place.Site{site(0, 0), site(10, 10), site(30, 0), site(0, 5)} {
		require.NoError(t, good.Check())
	}
	require.Equal(t, []string{"/round_rules/plants_per_block_most below_the_least"}, codes(t, site(16, 15).Check()))
}

func TestBlocksThatFollowEachOtherInAHouseAreNeighbours(t *testing.T) {
	t.Parallel()
	at := func(house byte, position int) place.Block {
		return place.Block{HouseID: domain.ID{15: house}, Position: position}
	}
	require.True(t, at(1, 4).Beside(at(1, 5)))
	require.True(t, at(1, 5).Beside(at(1, 4)))
	require.False(t, at(1, 4).Beside(at(2, 5)), "in another house")
	require.False(t, at(1, 4).Beside(at(1, 6)))
	require.False(t, at(1, 4).Beside(at(1, 4)))
}
