package store_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func TestAnOrganisationBeginsWithTheStarterOrganismsInBothLanguages(t *testing.T) {
	t.Parallel()
	st, _ := cluster.New(t)
	owner := storetest.Organisation(t, st, "Fernhollow")
	starter, err := stock.StarterOrganisms()
	require.NoError(t, err)
	stored, err := st.Organisms(t.Context(), owner, store.Page{Limit: 200})
	require.NoError(t, err)
	var read []stock.Organism
	for _, r := range stored.Items {
		require.False(t, r.Value.ID.IsZero())
		r.Value.ID = domain.ID{}
		read = append(read, r.Value)
	}
	require.ElementsMatch(t, starter, read)
}
