package store_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain/trend"
)

// Reading what a week at a site says, with the advice of the season, two rounds and every
// lot's points and course, as a ratio to the bare sum over the tallies.
func BenchmarkWeekOfASite(b *testing.B) {
	st, f, owner, organism := filledForBench(b)
	for _, x := range []struct {
		sql  string
		args []any
	}{
		{manyLots, []any{f.Lot.String()}},
		{manyBlocks, []any{f.Block.String()}},
		{manyCultivars, []any{f.Cultivar.String()}},
		{manyHouses, []any{f.House.String()}},
		{spreadLots, nil},
		{spreadBlocks, nil},
		{manyTallies, []any{organism.String()}},
		{manyPlacements, nil},
		{manyLooks, []any{organism.String()}},
		{manyFindings, []any{organism.String()}},
		{manySigns, []any{organism.String()}},
		{`analyze`, nil},
	} {
		_, err := owner.Exec(b.Context(), x.sql, x.args...)
		require.NoError(b, err, x.sql)
	}
	const bare = `select lot_id, week_start, sum(plants), sum(infested) from tally group by 1, 2`
	perBare := timeOf(b, func() {
		rows, err := owner.Query(b.Context(), bare)
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
	})
	b.ResetTimer()
	for b.Loop() {
		found, err := st.Week(b.Context(), f.Owner, store.WeekQuery{SiteID: f.Site, OrganismID: organism})
		require.NoError(b, err)
		require.GreaterOrEqual(b, len(found.Lots), 160)
		samples := make([][]trend.Sample, 0, len(found.Lots))
		for _, lot := range found.Lots {
			samples = append(samples, lot.Samples)
		}
		_, err = trend.ReadAll(samples)
		require.NoError(b, err)
	}
	report(b, perBare)
}
