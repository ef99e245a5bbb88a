package domain_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/uuid"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
)

func newID(t require.TestingT, at time.Time, entropy []byte) domain.ID {
	id, err := domain.NewID(at, bytes.NewReader(entropy))
	require.NoError(t, err)
	return id
}

// RFC 9562, appendix A.6 shows a UUIDv7 for 22 February 2022, 14:22:22 GMT-05:00
// (0x017F22E279B0 milliseconds) with rand_a 0xCC3 and rand_b 0x18C4DC0C0C07398F
// (as remembered; the parts and the whole agree).
func TestAnIDIsTheExampleOfTheStandard(t *testing.T) {
	t.Parallel()
	at := time.Date(2022, time.February, 22, 14, 22, 22, 0, time.FixedZone("", -5*60*60))
	id := newID(t, at, []byte{0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f})
	require.Equal(t, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", id.String())
}

func TestIDsSortByTheirMoment(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		entropy := rapid.SliceOfN(rapid.Byte(), 20, 20).Draw(t, "entropy")
		at := time.UnixMilli(rapid.Int64Range(0, 1<<48-2).Draw(t, "moment"))
		earlier, later := newID(t, at, entropy[:10]), newID(t, at.Add(time.Millisecond), entropy[10:])
		require.Less(t, earlier.String(), later.String())

		other, err := uuid.Parse(earlier.String())
		require.NoError(t, err)
		require.Equal(t, uuid.Version(7), other.Version())
		require.Equal(t, uuid.RFC4122, other.Variant())
		read, err := domain.ParseID(strings.ToUpper(earlier.String()))
		require.NoError(t, err)
		require.Equal(t, earlier, read)
	})
}

func TestAnIDIsNotMadeWithoutEntropy(t *testing.T) {
	t.Parallel()
	dry := errors.New("dry")
	_, err := domain.NewID(time.Unix(0, 0), iotest.ErrReader(dry))
	require.ErrorIs(t, err, dry)
}

func TestTextThatIsNoIDIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "017f22e279b07cc398c4dc0c0c07398f", "{017f22e2-79b0-7cc3-98c4-dc0c0c07398f}", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398", "017f22e2_79b0_7cc3_98c4_dc0c0c07398f", "00000000-0000-0000-0000-000000000000",
	} {
		_, err := domain.ParseID(text)
		require.ErrorIs(t, err, domain.ErrID, "%q", text)
	}
	var id domain.ID
	require.ErrorIs(t, id.UnmarshalText([]byte("none")), domain.ErrID)
}

func TestNoIDIsWrittenAsNothing(t *testing.T) {
	t.Parallel()
	id := domain.ID{15: 1}
	text, err := id.MarshalText()
	require.NoError(t, err)
	var read domain.ID
	require.NoError(t, read.UnmarshalText(text))
	require.Equal(t, id, read)
	require.NoError(t, read.UnmarshalText(nil))
	require.True(t, read.IsZero())
	require.Empty(t, read.String())
}

func FuzzParseIDAgreesWithAnotherReader(f *testing.F) {
	f.Add("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
	f.Add("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
	f.Add("00000000-0000-0000-0000-000000000000")
	f.Add("017f22e2--9b0-7cc3-98c4-dc0c0c07398f")
	f.Fuzz(func(t *testing.T, text string) {
		id, err := domain.ParseID(text)
		other, otherErr := uuid.Parse(text)
		if err != nil {
			require.ErrorIs(t, err, domain.ErrID)
			// The other reader also takes forms in braces, without dashes and as a URN.
			require.True(t, otherErr != nil || len(text) != 36 || other == uuid.Nil)
			return
		}
		require.NoError(t, otherErr)
		require.Equal(t, [16]byte(other), [16]byte(id))
		require.Equal(t, strings.ToLower(text), id.String())
	})
}
