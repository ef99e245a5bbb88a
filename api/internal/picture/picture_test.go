package picture

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"
)

func asPNG(t *testing.T, m image.Image) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, png.Encode(&out, m))
	return out.Bytes()
}

// claiming changes the size that a PNG says it has (PNG, third edition, 11.2.1).
func claiming(raw []byte, w, h uint32) []byte {
	raw = bytes.Clone(raw)
	binary.BigEndian.PutUint32(raw[16:], w)
	binary.BigEndian.PutUint32(raw[20:], h)
	binary.BigEndian.PutUint32(raw[29:], crc32.ChecksumIEEE(raw[12:29]))
	return raw
}

func TestAPictureThatWouldFillTheMemoryIsRefusedByItsHeader(t *testing.T) {
	t.Parallel()
	raw := asPNG(t, quarters(8, 8))
	for _, size := range [][2]uint32{{60000, 60000}, {1 << 30, 1}, {1, 40_000_001}, {8000, 5001}} {
		_, err := Read(claiming(raw, size[0], size[1]))
		require.ErrorIs(t, err, ErrTooLarge, "%v", size)
	}
	whole := photo(t, quarters(8, 8))
	frame := bytes.Index(whole, []byte{0xff, 0xc0}) // its height and width stand from the sixth byte on (ITU-T T.81, B.2.2)
	copy(whole[frame+5:], "\xea\x60\xea\x60")
	_, err := Read(whole)
	require.ErrorIs(t, err, ErrTooLarge)
}

func TestWhatIsNoWholePictureIsUnreadable(t *testing.T) {
	t.Parallel()
	whole := photo(t, quarters(640, 480))
	var moving bytes.Buffer
	require.NoError(t, gif.Encode(&moving, image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{red, green}), nil))
	for name, raw := range map[string][]byte{
		"nothing":         nil,
		"a page":          []byte("<!doctype html><script>alert(1)</script>"),
		"a drawing":       []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`),
		"half a photo":    whole[:len(whole)/2],
		"only its header": whole[:200],
		"a moving one":    moving.Bytes(),
		"a PNG of less":   claiming(asPNG(t, quarters(8, 8)), 8, 4000),
		"a PNG of none":   claiming(asPNG(t, quarters(8, 8)), 0, 8),
	} {
		_, err := Read(raw)
		require.ErrorIs(t, err, ErrUnreadable, name)
	}
}

func TestALargePictureBecomesSmallerAndASmallOneStays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ w, h, wantW, wantH int }{
		{4000, 3000, 1600, 1200}, {1000, 3000, 533, 1600}, {1600, 1600, 1600, 1600}, {1601, 2, 1600, 2}, {9000, 1, 1600, 1}, {3, 2, 3, 2},
	} {
		p, err := Read(asPNG(t, quarters(c.w, c.h)))
		require.NoError(t, err)
		require.Equal(t, [2]int{c.wantW, c.wantH}, [2]int{p.Width, p.Height})
	}
}

func TestEachPixelIsTheMeanOfWhatItCovers(t *testing.T) {
	t.Parallel()
	grey := func(longest int, values ...uint8) []uint8 {
		m := image.NewGray(image.Rect(5, 7, 5+len(values), 8))
		copy(m.Pix, values)
		out := shrink(m, longest)
		var means []uint8
		for x := range out.Rect.Dx() {
			means = append(means, out.RGBAAt(x, 0).G)
		}
		return means
	}
	require.Equal(t, []uint8{10, 20, 30}, grey(3, 10, 20, 30))
	require.Equal(t, []uint8{20}, grey(1, 10, 20, 30))
	require.Equal(t, []uint8{13, 27}, grey(2, 10, 20, 30), "a pixel and half of the middle one: 40/3 and 80/3")
	require.Equal(t, []uint8{0, 255}, grey(2, 0, 0, 255, 255))
	through := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	through.SetNRGBA(0, 0, color.NRGBA{0, 0, 0, 51})
	require.Equal(t, color.RGBA{204, 204, 204, 255}, shrink(through, 1).RGBAAt(0, 0), "a fifth black on white")
}

func TestAWebPIsRead(t *testing.T) {
	t.Parallel()
	// One pixel, lossless (RFC 9649).
	raw, err := base64.StdEncoding.DecodeString("UklGRhoAAABXRUJQVlA4TA0AAAAvAAAAEAcQERGIiP4HAA==")
	require.NoError(t, err)
	p, err := Read(raw)
	require.NoError(t, err)
	require.Equal(t, [2]int{1, 1}, [2]int{p.Width, p.Height})
	_, err = Read(raw[:len(raw)-6])
	require.ErrorIs(t, err, ErrUnreadable)
}

func BenchmarkRead(b *testing.B) {
	var out bytes.Buffer
	m := image.NewGray(image.Rect(0, 0, 8000, 5000))
	for i := range m.Pix {
		m.Pix[i] = uint8(i * i >> 8)
	}
	if err := png.Encode(&out, m); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Read(out.Bytes()); err != nil {
			b.Fatal(err)
		}
	}
}
