package store_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
)

func demoOwner(t *testing.T) store.Account {
	t.Helper()
	return store.Account{ID: storetest.NewID(t), Email: "owner@demo.example", Name: "Owner", Language: "en", PasswordHash: "none"}
}

func TestDemoAccountsExistOnlyInADemosDatabase(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	_, err := st.CreateOrganisation(t.Context(), storetest.NewID(t), "Demo", demoOwner(t))
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	require.Equal(t, "demo_only", faults[0].Code)

	f := storetest.Fill(t, st, "Fernhollow")
	owner := connect(t, ownerURL)
	for _, statement := range []string{
		`update person set email = 'owner@demo.example'`,
		`insert into person (id, email, name, password_hash, created_at, home_organisation_id)
			select gen_random_uuid(), 'grower@demo.example', 'x', 'x', now(), organisation_id from organisation`,
	} {
		_, err := owner.Exec(t.Context(), statement)
		require.Equal(t, "BT001", codeOf(err), "not even the owner of the tables: %v", err)
	}
	require.ErrorIs(t, store.MarkDemo(t.Context(), owner, time.Now(), storetest.Now()), store.ErrInUse)
	i, err := st.Installation(t.Context())
	require.NoError(t, err)
	require.False(t, i.Demo)
	require.False(t, f.Owner.PersonID.IsZero())
}

func TestAnEmptyDatabaseBecomesADemosAndStaysOne(t *testing.T) {
	t.Parallel()
	ownerURL, programURL := cluster.Database(t)
	st := store.New(storetest.Pool(t, programURL), storetest.Now)
	owner := connect(t, ownerURL)
	began := time.Date(2026, time.November, 25, 8, 0, 0, 0, time.UTC)
	require.NoError(t, store.MarkDemo(t.Context(), owner, began, storetest.Now()))
	_, err := st.CreateOrganisation(t.Context(), storetest.NewID(t), "Demo", demoOwner(t))
	require.NoError(t, err)
	require.NoError(t, store.MarkFilled(t.Context(), owner))
	require.NoError(t, store.MarkDemo(t.Context(), owner, began.Add(time.Hour), storetest.Now()), "again, when it is started again")
	i, err := st.Installation(t.Context())
	require.NoError(t, err)
	require.Equal(t, store.Installation{Demo: true, Filled: true, ClockFrom: began, ClockAt: storetest.Now()}, i, "its clock runs on")

	program := connect(t, programURL)
	require.Error(t, store.MarkDemo(t.Context(), program, began, began), "the program's role may not")
	require.Error(t, store.MarkFilled(t.Context(), program))
}
