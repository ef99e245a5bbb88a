package store_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

// Sixteen cultivars over four houses, and twenty plants' signs on a look of every block in
// the latest weeks.
const (
	manyCultivars = `insert into cultivar select organisation_id, gen_random_uuid(), crop_id, 'B-' || n,
		(array['light', 'medium', 'dark'])[1 + n % 3], '', 1, recorded_at, recorded_by from cultivar, generate_series(0, 15) n where id = $1`
	manyHouses = `insert into house select organisation_id, gen_random_uuid(), site_id, 'B-' || n, null, 1, recorded_at, recorded_by
		from house, generate_series(0, 3) n where id = $1`
	spreadLots = `update lot set cultivar_id = (select c.id from cultivar c where c.name = 'B-' || substring(lot.code from 3)::int % 16)
		where code like 'B-%'`
	spreadBlocks = `update block set house_id = (select h.id from house h where h.name = 'B-' || position / 100 % 4) where name like 'B-%'`
	manyLooks    = `insert into look select organisation_id, gen_random_uuid(), site_id, block_id, lot_id, week_start + interval '36 hours', week_start + 1,
			week_start, (select person_id from membership where membership.organisation_id = tally.organisation_id limit 1), 'planned', 'B', '{}', '', '', 1,
			now(), (select person_id from membership where membership.organisation_id = tally.organisation_id limit 1)
		from tally where week_start >= '2026-08-24' and organism_id = $1`
	manyFindings = `insert into look_finding select organisation_id, id, $1, site_id, 0, 20, 4, true,
		array[7, 5, 5, 5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]::smallint[], null from look where note = 'B'`
	manySigns = `insert into look_sign select organisation_id, look_id, organism_id, n, site_id, n,
		(array['adult', 'pupa', 'large_nymph', 'small_nymph'])[1 + n], 'new_growth', (array['', 'parasitised', 'host_fed', ''])[1 + n], '', ''
		from look_finding, generate_series(0, 3) n where organism_id = $1 and cardinality(marks) = 20`
)

// Reading what the advice on a season rests on, with points, courses, evidence and
// suggestions, as a ratio to the bare sum over its tallies.
func BenchmarkAdviceOfASeason(b *testing.B) {
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
	rules := advice.UsualRules()
	b.ResetTimer()
	for b.Loop() {
		found, err := st.Advice(b.Context(), f.Owner, store.AdviceQuery{OrganismID: organism})
		require.NoError(b, err)
		require.GreaterOrEqual(b, len(found.Items), 60)
		samples := make([][]trend.Sample, len(found.Items))
		for i, x := range found.Items {
			samples[i] = x.Samples
		}
		read, err := trend.ReadAll(samples)
		require.NoError(b, err)
		for i, x := range found.Items {
			reading := x.Reading
			reading.Points, reading.Course, reading.Limits = read.Groups[i].Points, read.Groups[i].Course, found.Limits
			require.NotEmpty(b, rules.Suggest(reading, rules.Evidence(reading)).Code)
		}
	}
	report(b, perBare)
}
