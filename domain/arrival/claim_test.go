package arrival_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

func TestAClaimIsInTimeUntilTheClockOfItsSupplierEnds(t *testing.T) {
	t.Parallel()
	docked := time.Date(2026, 8, 3, 15, 0, 0, 0, time.UTC)
	x := arrival.Claim{DockedAt: docked, ClaimHours: 48}
	require.Nil(t, x.InTime(), "it is not sent")
	for sent, want := range map[time.Duration]bool{time.Hour: true, 48 * time.Hour: true, 48*time.Hour + time.Second: false} {
		x.SentAt = docked.Add(sent)
		require.Equal(t, want, *x.InTime(), "%s", sent)
	}
	x.DockedAt = time.Time{}
	require.Nil(t, x.InTime(), "nothing was received")
	require.True(t, x.ClosesAt().IsZero())
}

func TestEverythingWrongWithAClaimIsSaidAtOnce(t *testing.T) {
	t.Parallel()
	x := arrival.Claim{
		Items: []arrival.ClaimItem{
			{What: "wilted", Plants: 3},
			{What: "wilted", Plants: 4},
			{What: "ugly"},
			{What: "short", Plants: -1},
			{What: "other", Note: "no labels"},
			{What: "other", Note: "no invoice"},
			{LotID: domain.ID{1}, What: "wilted"},
		},
		SentAt: time.Date(2026, 8, 4, 15, 0, 0, 0, time.UTC), AnsweredAt: time.Date(2026, 8, 4, 14, 0, 0, 0, time.UTC),
	}
	var faults domain.Faults
	require.ErrorAs(t, x.Check(), &faults)
	found := []string{}
	for _, f := range faults {
		found = append(found, f.Path+" "+f.Code)
	}
	require.Equal(t, []string{
		"/shipment_id missing", "/items/1 twice", "/items/2/what not_in_list", "/items/3/plants too_small", "/answered_at out_of_order",
	}, found)
}

func TestAnAnswerIsToAClaimThatWasSentAndSaysSomething(t *testing.T) {
	t.Parallel()
	sent := time.Date(2026, 8, 4, 15, 0, 0, 0, time.UTC)
	item := []arrival.ClaimItem{{What: "rotten", Plants: 40}}
	for path, x := range map[string]arrival.Claim{
		"/text":        {SentAt: sent},
		"/sent_at":     {Items: item, AnsweredAt: sent},
		"/answered_at": {Items: item, SentAt: sent, Credit: arrival.Credit{Amount: "120.50", Currency: "USD"}},
		"":             {},
	} {
		x.ShipmentID = domain.ID{1}
		err := x.Check()
		if path == "" {
			require.NoError(t, err, "a draft may be empty")
			continue
		}
		var faults domain.Faults
		require.ErrorAs(t, err, &faults, path)
		require.Len(t, faults, 1)
		require.Equal(t, path+" missing", faults[0].Path+" "+faults[0].Code)
	}
	require.NoError(t, arrival.Claim{
		ShipmentID: domain.ID{1}, Items: item, SentAt: sent, AnsweredAt: sent, Answer: "We will credit 40.", Credit: arrival.Credit{Amount: "8", Currency: "EUR"},
	}.Check())
}
