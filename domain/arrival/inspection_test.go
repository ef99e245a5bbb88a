package arrival_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
)

func codes(t require.TestingT, err error) []string {
	if err == nil {
		return nil
	}
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		all = append(all, f.Path+" "+f.Code)
	}
	return all
}

func TestAnInspectionIsCheckedForEverythingAtOnce(t *testing.T) {
	t.Parallel()
	require.NoError(t, inspection(found(whitefly, 2, 57), found(thrips, 0, 57)).Check())
	require.Equal(t, []string{"/lot_id missing", "/inspected_at missing", "/findings missing"}, codes(t, arrival.Inspection{}.Check()))

	x := inspection(found(whitefly, 58, 57), found(whitefly, 0, 57), found(domain.ID{}, 0, 57))
	x.Findings[1].Signs = []arrival.Sign{{Stage: scouting.Egg, Plants: 57}, {Stage: scouting.Adult, Plants: 58}}
	x.LeafSpots = arrival.Incidence{PlantsLookedAt: 10, PlantsWith: 11}
	x.OtherDiseases = []arrival.Incidence{{PlantsLookedAt: 10, PlantsWith: 10}, {PlantsLookedAt: 10, PlantsWith: 11}}
	require.Equal(t, []string{
		"/findings/0/infested_plants more_infested_than_looked_at",
		"/findings/1/organism_id twice",
		"/findings/1/signs/1/plants more_infested_than_looked_at",
		"/findings/2/organism_id missing",
		"/leaf_spots/plants_with more_infested_than_looked_at",
		"/other_diseases/1/plants_with more_infested_than_looked_at",
	}, codes(t, x.Check()))
	require.ErrorContains(t, x.Check(), "58 plants infested of 57 looked at")
}

func TestAnInspectionFitsItsLotAndShipment(t *testing.T) {
	t.Parallel()
	x := inspection(found(whitefly, 0, 57))
	require.NoError(t, x.CheckAgainst(57, dockHour))
	require.NoError(t, x.CheckAgainst(57, time.Time{}), "when it left may not be known")
	require.Equal(t, []string{"/inspected_at before_departure", "/findings/0/plants_looked_at more_than_lot"},
		codes(t, x.CheckAgainst(56, dockHour.Add(time.Minute))))
}

func TestAVerdictIsADecisionOnAnInspection(t *testing.T) {
	t.Parallel()
	require.NoError(t, arrival.Verdict{InspectionID: lotID, Decision: arrival.Hold}.Check())
	require.Equal(t, []string{"/inspection_id missing", "/decision missing"}, codes(t, arrival.Verdict{}.Check()))
}

func TestRootsAndConditionCountThePlantsLookedAt(t *testing.T) {
	t.Parallel()
	require.Equal(t, 15, arrival.Roots{White: 8, PartlyBrown: 4, Brown: 2, None: 1}.Total())
	require.Equal(t, 15, arrival.Condition{Sound: 8, SlightlyDamaged: 4, BadlyDamaged: 2, Unusable: 1}.Total())
}
