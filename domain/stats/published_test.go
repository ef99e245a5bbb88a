package stats_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// published reads the cases of one file of published values, whose README names
// the sources.
func published[Case any](t *testing.T, name string) []Case {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + name + ".json")
	require.NoError(t, err)
	var file struct {
		Source string
		Cases  []Case
	}
	require.NoError(t, json.Unmarshal(text, &file))
	require.NotEmpty(t, file.Source)
	require.NotEmpty(t, file.Cases)
	t.Logf("%s: %d cases", file.Source, len(file.Cases))
	return file.Cases
}

// differences keeps the largest difference seen and logs it with the count.
type differences struct {
	count   int
	largest float64
}

func (d *differences) add(got, want float64) float64 {
	difference := math.Abs(got - want)
	d.count++
	d.largest = math.Max(d.largest, difference)
	return difference
}

func (d *differences) log(t *testing.T, what string) {
	t.Helper()
	t.Logf("%s: %d numbers compared, largest difference %.3g", what, d.count, d.largest)
}
