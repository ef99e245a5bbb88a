package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestATrialPrintsItsTableAndSaysBesideItHowLongItTook(t *testing.T) {
	t.Parallel()
	out, log, err := say(t, noEnvironment, "trial", "--seasons", "1", "--seed", "4")
	require.NoError(t, err)
	require.Contains(t, out, "Trial of 1 invented seasons, seed 4\n")
	require.Contains(t, log, "It took ")
	again, _, err := say(t, noEnvironment, "trial", "--seasons", "1", "--seed", "4")
	require.NoError(t, err)
	require.Equal(t, out, again)

	_, _, err = say(t, noEnvironment, "trial", "--seasons", "0")
	require.ErrorContains(t, err, "0 seasons")
}
