package arrival_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

func TestAClaimAboutOneGroupIsAllOfThatGroup(t *testing.T) {
	t.Parallel()
	one, two := domain.ID{1}, domain.ID{2}
	parts := arrival.ShareOut([]arrival.ClaimLine{
		{ClaimID: one, Answered: true, Amount: "120.50", Currency: "USD", Ordinal: 0, Plants: 40, Group: "a"},
		{ClaimID: one, Answered: true, Amount: "120.50", Currency: "USD", Ordinal: 1, Plants: 2, Group: "a"},
		{ClaimID: two, Answered: true, Amount: "9.50", Currency: "USD", Ordinal: 0, Plants: 1, Group: "a"},
	})
	require.Equal(t, arrival.Claimed{Claims: 2, Answered: 2, Plants: 43, Granted: []arrival.Credit{{Amount: "130.00", Currency: "USD"}}}, arrival.Sum(parts["a"]))
}

// A line about the shipment as a whole is about each of its lots, and a credit is one
// for the claim: neither is divided by guess.
func TestWhatIsNotDividedIsNotSharedOut(t *testing.T) {
	t.Parallel()
	one := domain.ID{1}
	parts := arrival.ShareOut([]arrival.ClaimLine{
		{ClaimID: one, Amount: "80", Currency: "EUR", Ordinal: 0, Plants: 30, Group: "a"},
		{ClaimID: one, Amount: "80", Currency: "EUR", Ordinal: 1, Plants: 500, Group: "a"},
		{ClaimID: one, Amount: "80", Currency: "EUR", Ordinal: 1, Plants: 500, Group: "b"},
	})
	require.Equal(t, arrival.Claimed{Claims: 1, Shared: 1, Plants: 30}, arrival.Sum(parts["a"]))
	require.Equal(t, arrival.Claimed{Claims: 1, Shared: 1}, arrival.Sum(parts["b"]))
	require.Empty(t, arrival.ShareOut(nil))
}
