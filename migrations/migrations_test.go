package migrations_test

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/migrations"
)

var cluster storetest.Cluster

func TestMain(m *testing.M) { os.Exit(storetest.Run(m, &cluster)) }

func open(t *testing.T, address string) *sql.DB {
	t.Helper()
	config, err := pgx.ParseConfig(address)
	require.NoError(t, err)
	db := stdlib.OpenDB(*config)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	return db
}

func tables(t *testing.T, db *sql.DB) []string {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), `select relname from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p')
		and relname <> 'goose_db_version' order by 1`)
	require.NoError(t, err)
	defer rows.Close()
	var names []string
	for rows.Next() {
		var name string
		require.NoError(t, rows.Scan(&name))
		names = append(names, name)
	}
	require.NoError(t, rows.Err())
	return names
}

// shape describes everything the migrations make, so that two of them can be compared.
func shape(t *testing.T, db *sql.DB) string {
	t.Helper()
	const q = `select string_agg(line, e'\n' order by line) from (
		select format('%s.%s %s %s %s', c.relname, a.attname, format_type(a.atttypid, a.atttypmod), a.attnotnull, pg_get_expr(d.adbin, d.adrelid)) as line
			from pg_attribute a join pg_class c on c.oid = a.attrelid left join pg_attrdef d on d.adrelid = a.attrelid and d.adnum = a.attnum
			where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped
		union all select conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid) from pg_constraint where connamespace = 'public'::regnamespace
		union all select indexdef from pg_indexes where schemaname = 'public'
		union all select tablename || ' ' || policyname || ' ' || permissive || ' ' || coalesce(qual, '') || coalesce(with_check, '') from pg_policies
		union all select relname || ' ' || relrowsecurity || relforcerowsecurity || coalesce(relacl::text, '') from pg_class
			where relnamespace = 'public'::regnamespace and relkind = 'r'
		union all select oid::regprocedure || ' ' || md5(prosrc) from pg_proc where pronamespace = 'public'::regnamespace
	) everything`
	var text string
	require.NoError(t, db.QueryRowContext(t.Context(), q).Scan(&text))
	return text
}

func TestMigrationsGoDownAndUpAgainOnAFilledDatabase(t *testing.T) {
	t.Parallel()
	owner, program := cluster.Database(t)
	db := open(t, owner)
	before, made := shape(t, db), tables(t, db)
	require.Greater(t, len(made), 25)
	fill := func() {
		storetest.Fill(t, store.New(storetest.Pool(t, program), storetest.Now), "Fernhollow")
		for _, table := range tables(t, db) {
			var filled bool
			require.NoError(t, db.QueryRowContext(t.Context(), `select exists (select from `+table+`)`).Scan(&filled))
			require.True(t, filled, "%s is empty", table)
		}
	}
	fill()
	require.NoError(t, migrations.Down(t.Context(), db))
	require.Empty(t, tables(t, db))
	var left int
	require.NoError(t, db.QueryRowContext(t.Context(), `select count(*) from pg_proc where pronamespace = 'public'::regnamespace`).Scan(&left))
	require.Zero(t, left, "no function is left behind")
	pending, err := migrations.Pending(t.Context(), db)
	require.NoError(t, err)
	require.True(t, pending)

	done, err := migrations.Up(t.Context(), db)
	require.NoError(t, err)
	require.Positive(t, done)
	require.Equal(t, before, shape(t, db))
	fill()
	done, err = migrations.Up(t.Context(), db)
	require.NoError(t, err)
	require.Zero(t, done, "nothing is done twice")
	pending, err = migrations.Pending(t.Context(), db)
	require.NoError(t, err)
	require.False(t, pending)
	require.Equal(t, made, tables(t, db))
}

func TestProgramsThatMigrateAtOnceWaitForOneAnother(t *testing.T) {
	t.Parallel()
	owner, _ := cluster.Database(t)
	require.NoError(t, migrations.Down(t.Context(), open(t, owner)))
	done, errs := make([]int, 4), make([]error, 4)
	var all sync.WaitGroup
	for i := range done {
		db := open(t, owner)
		all.Go(func() { done[i], errs[i] = migrations.Up(context.Background(), db) })
	}
	all.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	slices.Sort(done)
	require.Equal(t, []int{0, 0, 0}, done[:3], "one of them did it all")
	require.Positive(t, done[3])
}

func TestFilesAreNumberedInOrder(t *testing.T) {
	t.Parallel()
	entries, err := migrations.Files().ReadDir(".")
	require.NoError(t, err)
	for i, entry := range entries {
		require.Regexp(t, `^\d{5}_[a-z_]+\.sql$`, entry.Name())
		require.Equal(t, fmt.Sprintf("%05d", i+1), entry.Name()[:5])
	}
}
