package domain_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
)

func TestFaultsAreAnErrorOnlyWhenThereAreAny(t *testing.T) {
	t.Parallel()
	var f domain.Faults
	f.Need(true, "/name")
	require.NoError(t, f.Err())

	f.Need(false, "/name")
	f.Add("/plants", "too_small", "%d is below %d", 0, 1)
	require.EqualError(t, f.Err(), "/name: is needed; /plants: 0 is below 1")

	var found domain.Faults
	require.ErrorAs(t, fmt.Errorf("lot: %w", f.Err()), &found)
	require.Equal(t, domain.Faults{
		{Path: "/name", Code: "missing", Detail: "is needed"},
		{Path: "/plants", Code: "too_small", Detail: "0 is below 1"},
	}, found)
}
