package arrival_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stock"
)

// A Canadian grower looks 14 to 18 days after sticking (Greenhouse Canada, 24
// January 2022); for rooted plants it counts from arrival (common practice).
func TestTheSecondLookFallsInTheWindowAfterSticking(t *testing.T) {
	t.Parallel()
	crop := stock.Crop{SecondLookFromDays: stock.DefaultSecondLookFromDays, SecondLookToDays: stock.DefaultSecondLookToDays}
	july := func(d int) domain.Date { return domain.NewDate(2026, time.July, d) }
	for name, c := range map[string]struct {
		form           stock.Form
		stuckOn, today domain.Date
		from, to       string
		fromSticking   bool
		state          arrival.DueState
	}{
		"unrooted, the day it was stuck":     {stock.Unrooted, july(2), july(2), "2026-07-16", "2026-07-20", true, arrival.NotYet},
		"unrooted, the day before":           {stock.Unrooted, july(2), july(15), "2026-07-16", "2026-07-20", true, arrival.NotYet},
		"unrooted, the first day":            {stock.Unrooted, july(2), july(16), "2026-07-16", "2026-07-20", true, arrival.Due},
		"unrooted, the last day":             {stock.Unrooted, july(2), july(20), "2026-07-16", "2026-07-20", true, arrival.Due},
		"unrooted, the day after":            {stock.Unrooted, july(2), july(21), "2026-07-16", "2026-07-20", true, arrival.Late},
		"callused, counted from sticking":    {stock.Callused, july(3), july(17), "2026-07-17", "2026-07-21", true, arrival.Due},
		"unrooted, no sticking recorded":     {stock.Unrooted, domain.Date{}, july(15), "2026-07-15", "2026-07-19", false, arrival.Due},
		"rooted, counted from arrival":       {stock.Rooted, domain.Date{}, july(15), "2026-07-15", "2026-07-19", false, arrival.Due},
		"rooted, a sticking changes nothing": {stock.Rooted, july(9), july(15), "2026-07-15", "2026-07-19", false, arrival.Due},
		"over the end of a month":            {stock.Unrooted, july(20), july(30), "2026-08-03", "2026-08-07", true, arrival.NotYet},
	} {
		lot := stock.Lot{ID: lotID, Code: "27-01", CultivarID: thrips, Form: c.form, ArrivedOn: july(1)}
		require.Equal(t, arrival.DueLook{
			LotID: lotID, LotCode: "27-01", CultivarID: thrips,
			From: date(t, c.from), To: date(t, c.to), FromSticking: c.fromSticking, StateOnTheDay: c.state,
		}, arrival.SecondLookOf(lot, crop, c.stuckOn, c.today), name)
	}
}

func date(t *testing.T, text string) domain.Date {
	t.Helper()
	d, err := domain.ParseDate(text)
	require.NoError(t, err)
	return d
}
