package scouting_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/scouting"
)

// stopCalls is what Stop.At says. The pages work it out anew without a network and
// are tested against the same file; `go test ./domain/scouting -run StopCalls -write`
// makes it.
const stopCalls = "../../testdata/stop_calls.json"

var write = flag.Bool("write", false, "make the file of calls anew instead of testing against it")

// calledStop is a table as a phone is sent it, and what it comes to.
type calledStop struct {
	LimitPercent   float64   `json:"limit_percent"`
	Blocks         int       `json:"blocks"`
	PlantsLeast    int       `json:"plants_least"`
	BelowAtMaximum int       `json:"below_at_maximum"`
	Lines          [][3]*int `json:"lines"` // plants, below if at most, above if at least; null where no count is enough
	Calls          []called  `json:"calls"`
}

type called struct {
	Plants     int           `json:"plants"`
	Infested   int           `json:"infested"`
	Call       scouting.Call `json:"call"`
	MorePlants int           `json:"more_plants"`
}

func TestStopCallsAreThoseOfTheFileThatThePagesAreTestedAgainst(t *testing.T) {
	t.Parallel()
	if *write {
		require.NoError(t, os.WriteFile(stopCalls, []byte(drawnCalls(t)), 0o644))
	}
	text, err := os.ReadFile(stopCalls)
	require.NoError(t, err)
	var file struct {
		Stops []calledStop `json:"stops"`
	}
	require.NoError(t, json.Unmarshal(text, &file))
	require.NotEmpty(t, file.Stops)
	said := map[scouting.Call]int{}
	for _, want := range file.Stops {
		s := limited(t, want.Blocks, want.LimitPercent, scouting.UsualStopRules())
		require.Equal(t, want.PlantsLeast, s.PlantsLeast)
		require.Equal(t, want.BelowAtMaximum, s.Lines.BelowAtMaximum)
		require.Equal(t, want.Lines, tableOf(s))
		for _, c := range want.Calls {
			call, more := s.At(c.Plants, c.Infested, want.Blocks)
			require.Equal(t, []any{c.Call, c.MorePlants}, []any{call, more}, "limit %v %%, %d blocks, %d of %d", want.LimitPercent, want.Blocks, c.Infested, c.Plants)
			said[call]++
		}
	}
	for _, call := range []scouting.Call{scouting.CallBelow, scouting.CallAbove, scouting.CallMore} {
		require.Greater(t, said[call], 20, call)
	}
}

func tableOf(s scouting.Stop) [][3]*int {
	var table [][3]*int
	for _, l := range s.Usable() {
		row := [3]*int{&l.Examined, nil, nil}
		if l.BelowIfAtMost >= 0 {
			row[1] = &l.BelowIfAtMost
		}
		if l.AboveIfAtLeast <= l.Examined {
			row[2] = &l.AboveIfAtLeast
		}
		table = append(table, row)
	}
	return table
}

// drawnCalls lays tables around limits low and high, and draws counts below their
// least, between their lines and past their ends.
func drawnCalls(t *testing.T) string {
	rng := rand.New(rand.NewSource(5))
	var stops []string
	for _, of := range []struct {
		percent float64
		blocks  int
	}{{0.5, 3}, {5, 1}, {5, 7}, {20, 1}, {20, 3}, {20, 12}, {50, 2}, {100, 2}} {
		s := limited(t, of.blocks, of.percent, scouting.UsualStopRules())
		last := len(s.Lines.Lines)
		var calls []string
		for range 32 {
			n := s.PlantsLeast/2 + rng.Intn(last+40-s.PlantsLeast/2)
			x := min(n, rng.Intn(2+2*int(of.percent)*n/100))
			call, more := s.At(n, x, of.blocks)
			calls = append(calls, "\n        "+compact(t, called{n, x, call, more}))
		}
		stops = append(stops, fmt.Sprintf(`
    {
      "limit_percent": %v, "blocks": %d, "plants_least": %d, "below_at_maximum": %d,
      "lines": %s,
      "calls": [%s
      ]
    }`, of.percent, of.blocks, s.PlantsLeast, s.Lines.BelowAtMaximum, compact(t, tableOf(s)), strings.Join(calls, ",")))
	}
	return fmt.Sprintf("{\n  \"stops\": [%s\n  ]\n}\n", strings.Join(stops, ","))
}

func compact(t *testing.T, x any) string {
	text, err := json.Marshal(x)
	require.NoError(t, err)
	return string(text)
}
