package store_test

import (
	"slices"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/migrations"
)

const (
	everyTable = `select relname from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'v', 'm', 'f')
		and relname not in ('installation', 'goose_db_version') order by 1`
	denied = "42501" // insufficient_privilege (PostgreSQL manual, appendix A)
)

func TestABareSessionSeesNoRowAndWritesNone(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	clock := &storetest.Clock{}
	clock.Set(storetest.Now())
	storetest.Fill(t, store.New(storetest.Pool(t, programURL), clock.Now), "Fernhollow")
	owner, bare := connect(t, ownerURL), connect(t, programURL)
	require.Equal(t, migrations.ProgramRole, one[string](t, bare, `select current_user::text`))

	tables := column[string](t, owner, everyTable)
	require.Greater(t, len(tables), 25)
	for _, table := range tables {
		name := pgx.Identifier{table}.Sanitize()
		row := one[string](t, owner, `select coalesce((select to_jsonb(t)::text from `+name+` t limit 1), '')`)
		require.NotEmpty(t, row, "%s has no row to hide", table)

		require.Zero(t, one[int](t, bare, `select count(*)::int from `+name), table)
		_, err := bare.Exec(t.Context(), `insert into `+name+` select (jsonb_populate_record(null::`+name+`, $1::text::jsonb)).*`, row)
		require.Equal(t, denied, codeOf(err), "insert into %s: %v", table, err)
		_, err = bare.Exec(t.Context(), `truncate `+name+` cascade`)
		require.Equal(t, denied, codeOf(err), "truncate %s: %v", table, err)
		for _, statement := range []string{`drop table ` + name, `alter table ` + name + ` disable row level security`} {
			_, err = bare.Exec(t.Context(), statement)
			require.Equal(t, denied, codeOf(err), "%s: %v", statement, err)
		}
		if tag, err := bare.Exec(t.Context(), `delete from `+name); err == nil {
			require.Zero(t, tag.RowsAffected(), table)
		} else {
			require.Equal(t, denied, codeOf(err), table)
		}
		_, err = bare.Exec(t.Context(), `begin; set local row_security = off; select from `+name+`; commit`)
		require.Equal(t, denied, codeOf(err), "without row security: %s: %v", table, err)
		_, err = bare.Exec(t.Context(), `rollback`)
		require.NoError(t, err)
	}
	for _, statement := range []string{
		`update installation set demo = true, demo_clock_from = now(), demo_clock_at = now()`, `delete from installation`,
		`create table mine (n int)`, `set role benchtrail_admin`, `create role mine`,
	} {
		_, err := bare.Exec(t.Context(), statement)
		require.Equal(t, denied, codeOf(err), "%s: %v", statement, err)
	}
}

func TestOneOrganisationIsAllThatASessionWithItSees(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	clock := &storetest.Clock{}
	clock.Set(storetest.Now())
	st := store.New(storetest.Pool(t, programURL), clock.Now)
	first, second := storetest.Fill(t, st, "First"), storetest.Fill(t, st, "Second")
	owner, program := connect(t, ownerURL), connect(t, programURL)
	_, err := program.Exec(t.Context(), `select set_config('benchtrail.organisation', $1, false), set_config('benchtrail.sites', '*', false)`,
		first.Owner.OrganisationID.String())
	require.NoError(t, err)
	for _, table := range column[string](t, owner, `select relname from pg_class c join pg_attribute a on a.attrelid = c.oid and attname = 'organisation_id'
		where relnamespace = 'public'::regnamespace and relkind = 'r' and relname <> 'session'`) {
		seen := column[string](t, program, `select distinct organisation_id::text from `+table)
		require.Equal(t, []string{first.Owner.OrganisationID.String()}, seen, table)
		member := "organisation_id"
		if table == "revision" {
			member = "site_id" // the only one of its members that may change
		}
		tag, err := program.Exec(t.Context(), `update `+table+` set `+member+` = `+member+` where organisation_id = $1`,
			second.Owner.OrganisationID.String())
		require.NoError(t, err, table)
		require.Zero(t, tag.RowsAffected(), table)
	}
}

func TestTheProgramsRoleOwnsNothingAndIsBound(t *testing.T) {
	t.Parallel()
	ownerURL, _ := cluster.Database(t)
	conn := connect(t, ownerURL)
	require.False(t, one[bool](t, conn, `select rolsuper or rolbypassrls or rolcreatedb or rolcreaterole from pg_roles where rolname = $1`,
		migrations.ProgramRole))
	require.Zero(t, one[int](t, conn, `select count(*)::int from pg_class where relowner = $1::regrole`, migrations.ProgramRole))
	require.Zero(t, one[int](t, conn, `select count(*)::int from pg_proc where proowner = $1::regrole`, migrations.ProgramRole))
	_, err := store.Open(t.Context(), func() string { return ownerURL }, "benchtrail_admin")
	require.ErrorIs(t, err, store.ErrUnboundRole, "a role that sees everything is refused")
}

// Persons, their sessions and the description of the installation stand outside
// the organisations; every other table is an organisation's from its keys on.
func TestEveryTableOfAnOrganisationIsKeyedByItAndForcesRowSecurity(t *testing.T) {
	t.Parallel()
	ownerURL, _ := cluster.Database(t)
	conn := connect(t, ownerURL)
	for _, table := range column[string](t, conn, everyTable) {
		require.True(t, one[bool](t, conn, `select relrowsecurity and relforcerowsecurity from pg_class where oid = $1::regclass`, table),
			"%s forces row-level security", table)
		if slices.Contains([]string{"person", "session"}, table) {
			continue
		}
		keys := column[string](t, conn, `select a.attname::text from pg_constraint c join pg_attribute a on a.attrelid = c.conrelid and a.attnum = c.conkey[1]
			where c.conrelid = $1::regclass and (c.contype = 'p' or c.conname = 'tally_key')`, table)
		require.Equal(t, []string{"organisation_id"}, keys, "the key of %s", table)
		references := column[string](t, conn, `select c.conname::text from pg_constraint c join pg_attribute a on a.attrelid = c.conrelid and a.attnum = c.conkey[1]
			join pg_attribute b on b.attrelid = c.confrelid and b.attnum = c.confkey[1]
			where c.conrelid = $1::regclass and c.contype = 'f' and c.confrelid <> 'person'::regclass
				and (a.attname <> 'organisation_id' or b.attname <> 'organisation_id')`, table)
		require.Empty(t, references, "foreign keys of %s", table)
		ownOfSite := one[bool](t, conn, `select exists (select from pg_attribute where attrelid = $1::regclass and attname = 'site_id')`, table)
		if ownOfSite && table != "site_role" {
			require.True(t, one[bool](t, conn, `select exists (select from pg_policy where polrelid = $1::regclass and not polpermissive)`, table),
				"%s is for its sites only", table)
		}
	}
}
