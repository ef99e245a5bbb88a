package scouting_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/scouting"
)

var (
	anyStage = []string{"egg", "small_nymph", "large_nymph", "pupa", "adult"}
	noEggs   = []string{"small_nymph", "large_nymph", "pupa", "adult"}
)

func sign(stage scouting.Stage, state scouting.State) scouting.Sign {
	return scouting.Sign{Stage: stage, State: state}
}

// The rule: any nymph, pupa or adult makes a plant count (ONfloriculture, 25
// September 2018); eggs as the organism says, and shells and parasitised stages
// alone do not (common practice).
func TestAPlantIsInfestedByALivingStageThatCounts(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		seen   bool
		signs  []scouting.Sign
		stages []string
		want   bool
	}{
		"nothing was seen":                                  {false, nil, anyStage, false},
		"it was seen and no sign was noted":                 {true, nil, anyStage, true},
		"a disease is judged by sight alone":                {true, nil, nil, true},
		"a living nymph":                                    {true, []scouting.Sign{sign(scouting.SmallNymph, scouting.Alive)}, noEggs, true},
		"a nymph whose state was not noted":                 {true, []scouting.Sign{sign(scouting.LargeNymph, "")}, noEggs, true},
		"an adult":                                          {true, []scouting.Sign{sign(scouting.Adult, scouting.Alive)}, anyStage, true},
		"an empty case alone":                               {true, []scouting.Sign{sign(scouting.EmptyCase, "")}, anyStage, false},
		"an empty case alone, noted as alive":               {true, []scouting.Sign{sign(scouting.EmptyCase, scouting.Alive)}, anyStage, false},
		"an empty case where every living stage counts":     {true, []scouting.Sign{sign(scouting.EmptyCase, "")}, nil, false},
		"a parasitised pupa alone":                          {true, []scouting.Sign{sign(scouting.Pupa, scouting.Parasitised)}, anyStage, false},
		"a host-fed nymph alone":                            {true, []scouting.Sign{sign(scouting.LargeNymph, scouting.HostFed)}, anyStage, false},
		"a dried nymph alone":                               {true, []scouting.Sign{sign(scouting.SmallNymph, scouting.Dried)}, anyStage, false},
		"an egg where eggs count":                           {true, []scouting.Sign{sign(scouting.Egg, scouting.Alive)}, anyStage, true},
		"an egg where eggs do not count":                    {true, []scouting.Sign{sign(scouting.Egg, scouting.Alive)}, noEggs, false},
		"an egg where the organism names no stages":         {true, []scouting.Sign{sign(scouting.Egg, scouting.Alive)}, nil, true},
		"a parasitised pupa beside a living one":            {true, []scouting.Sign{sign(scouting.Pupa, scouting.Parasitised), sign(scouting.Pupa, scouting.Alive)}, anyStage, true},
		"an empty case beside an egg that does not count":   {true, []scouting.Sign{sign(scouting.EmptyCase, ""), sign(scouting.Egg, "")}, noEggs, false},
		"a shell listed by mistake is a shell all the same": {true, []scouting.Sign{sign(scouting.EmptyCase, "")}, []string{"empty_case"}, false},
	} {
		require.Equal(t, c.want, scouting.Infested(c.seen, c.signs, c.stages), name)
	}
}

func anySign() *rapid.Generator[scouting.Sign] {
	return rapid.Custom(func(t *rapid.T) scouting.Sign {
		return scouting.Sign{
			Stage: rapid.SampledFrom([]scouting.Stage{
				scouting.Egg, scouting.SmallNymph, scouting.LargeNymph, scouting.Pupa, scouting.EmptyCase, scouting.Adult,
			}).Draw(t, "stage"),
			State:  rapid.SampledFrom([]scouting.State{"", scouting.Alive, scouting.Parasitised, scouting.HostFed, scouting.Dried}).Draw(t, "state"),
			Place:  rapid.SampledFrom([]scouting.Place{scouting.NewGrowth, scouting.OldGrowth}).Draw(t, "place"),
			Colour: rapid.SampledFrom([]string{"", "brown", "tan"}).Draw(t, "colour"),
		}
	})
}

func TestMoreSignsNeverMakeAPlantLessInfested(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		signs := rapid.SliceOfN(anySign(), 1, 6).Draw(t, "signs")
		stages := rapid.SampledFrom([][]string{anyStage, noEggs, nil}).Draw(t, "stages")
		if scouting.Infested(true, signs, stages) {
			more := append([]scouting.Sign{anySign().Draw(t, "one more")}, signs...)
			require.True(t, scouting.Infested(true, more, stages))
		}
		require.False(t, scouting.Infested(false, signs, stages))
	})
}
