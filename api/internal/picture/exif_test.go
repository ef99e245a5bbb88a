package picture

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/require"
)

// exif is a segment as a phone writes it (CIPA DC-008-2012, 4.5.4, 4.6.4 and
// 4.6.6): how it was held, and 42° north, 83° west, in both orders of bytes.
func exif(order binary.AppendByteOrder, orientation uint16) []byte {
	t := []byte("II\x2a\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		t = []byte("MM\x00\x2a")
	}
	entry := func(tag, kind uint16, count, value uint32) {
		t = order.AppendUint16(t, tag)
		t = order.AppendUint16(t, kind)
		t = order.AppendUint32(t, count)
		t = order.AppendUint32(t, value)
	}
	short := func(tag, value uint16) {
		t = order.AppendUint16(t, tag)
		t = order.AppendUint16(t, 3)
		t = order.AppendUint32(t, 1)
		t = order.AppendUint16(order.AppendUint16(t, value), 0)
	}
	t = order.AppendUint32(t, 8)
	t = order.AppendUint16(t, 2)
	short(0x0112, orientation)
	entry(0x8825, 4, 1, 38)      // the GPS directory is at 38
	t = order.AppendUint32(t, 0) // and there is no further one
	t = order.AppendUint16(t, 2)
	entry(0x0002, 5, 3, 68) // the latitude is at 68
	entry(0x0004, 5, 3, 92)
	t = order.AppendUint32(t, 0)
	for _, part := range []uint32{42, 1, 19, 1, 5353, 100, 83, 1, 2, 1, 4747, 100} {
		t = order.AppendUint32(t, part)
	}
	return segment(0xe1, append([]byte("Exif\x00\x00"), t...))
}

// segment is a part of a JPEG (ITU-T T.81, B.1.1.4).
func segment(marker byte, content []byte) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xff, marker}, uint16(len(content)+2)), content...)
}

// photo is a JPEG with further segments right after its start.
func photo(t *testing.T, m image.Image, segments ...[]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, jpeg.Encode(&out, m, &jpeg.Options{Quality: 95}))
	raw := out.Bytes()
	return bytes.Join([][]byte{raw[:2], bytes.Join(segments, nil), raw[2:]}, nil)
}

var (
	red   = color.RGBA{200, 20, 20, 255}
	green = color.RGBA{20, 200, 20, 255}
	blue  = color.RGBA{20, 20, 200, 255}
	white = color.RGBA{255, 255, 255, 255}
)

// quarters has one colour in each quarter: red, green above, blue, white below.
func quarters(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, []color.RGBA{red, green, blue, white}[y*2/h*2+x*2/w])
		}
	}
	return m
}

// requireQuarters says which colour is in each quarter of a JPEG.
func requireQuarters(t *testing.T, text []byte, want [4]color.RGBA) {
	t.Helper()
	m, kind, err := image.Decode(bytes.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, "jpeg", kind)
	w, h := m.Bounds().Dx(), m.Bounds().Dy()
	for i, colour := range want {
		r, g, b, _ := m.At(w/4+i%2*w/2, h/4+i/2*h/2).RGBA()
		for channel, pair := range [][2]uint32{{r >> 8, uint32(colour.R)}, {g >> 8, uint32(colour.G)}, {b >> 8, uint32(colour.B)}} {
			require.InDelta(t, pair[1], pair[0], 12, "quarter %d, channel %d", i, channel)
		}
	}
}

func TestAPictureStandsUprightHoweverTheCameraWasHeld(t *testing.T) {
	t.Parallel()
	// Where the first row and the first column of what is stored belong (CIPA DC-008-2012, 4.6.4).
	for orientation, c := range map[uint16]struct {
		seen   string
		want   [4]color.RGBA
		turned bool
	}{
		1: {"top, left", [4]color.RGBA{red, green, blue, white}, false},
		2: {"top, right", [4]color.RGBA{green, red, white, blue}, false},
		3: {"bottom, right", [4]color.RGBA{white, blue, green, red}, false},
		4: {"bottom, left", [4]color.RGBA{blue, white, red, green}, false},
		5: {"left, top", [4]color.RGBA{red, blue, green, white}, true},
		6: {"right, top", [4]color.RGBA{blue, red, white, green}, true},
		7: {"right, bottom", [4]color.RGBA{white, green, blue, red}, true},
		8: {"left, bottom", [4]color.RGBA{green, white, red, blue}, true},
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			p, err := Read(photo(t, quarters(400, 240), exif(order, orientation)))
			require.NoError(t, err)
			size, small := image.Pt(400, 240), image.Pt(320, 192)
			if c.turned {
				size, small = image.Pt(240, 400), image.Pt(192, 320)
			}
			require.Equal(t, size, image.Pt(p.Width, p.Height), c.seen)
			requireQuarters(t, p.Full, c.want)
			requireQuarters(t, p.Small, c.want)
			config, err := jpeg.DecodeConfig(bytes.NewReader(p.Small))
			require.NoError(t, err)
			require.Equal(t, small, image.Pt(config.Width, config.Height))
		}
	}
}

func TestWhereAPictureWasTakenIsNotKept(t *testing.T) {
	t.Parallel()
	place := exif(binary.BigEndian, 6)
	comment, profile := segment(0xfe, []byte("Taken by Quillon")), segment(0xe2, []byte("ICC_PROFILE\x00Quillon"))
	raw := photo(t, quarters(64, 64), place, comment, profile)
	raw = append(raw, "<html>Quillon"...)
	require.Contains(t, string(raw), "Exif")
	p, err := Read(raw)
	require.NoError(t, err)
	for _, out := range [][]byte{p.Full, p.Small} {
		for _, told := range []string{"Exif", "Quillon", "html", "ICC_PROFILE", string(place[30:60])} {
			require.NotContains(t, string(out), told)
		}
		for rest := out[2:]; rest[1] != 0xda; rest = rest[2+int(binary.BigEndian.Uint16(rest[2:])):] {
			require.Contains(t, []byte{0xdb, 0xc0, 0xc4}, rest[1], "only tables and the frame come before the picture")
		}
	}
}

func TestWhatIsNoOrientationIsUpright(t *testing.T) {
	t.Parallel()
	whole := photo(t, quarters(8, 8), exif(binary.LittleEndian, 6))
	require.Equal(t, 6, orientation(whole))
	at := bytes.Index(whole, []byte{0x12, 0x01, 3, 0})
	for name, change := range map[string]func(raw []byte){
		"0":                   func(raw []byte) { raw[at+8] = 0 },
		"9":                   func(raw []byte) { raw[at+8] = 9 },
		"a long":              func(raw []byte) { raw[at+2] = 4 },
		"two of them":         func(raw []byte) { raw[at+4] = 2 },
		"another order":       func(raw []byte) { copy(raw[at-10:], "XX") },
		"a directory far off": func(raw []byte) { copy(raw[at-6:], "\xff\xff\xff\xff") },
		"a segment of none":   func(raw []byte) { copy(raw[4:], "\x00\x01") },
		"not Exif":            func(raw []byte) { copy(raw[6:], "exif") },
	} {
		raw := bytes.Clone(whole)
		change(raw)
		require.Equal(t, 1, orientation(raw), name)
	}
	for i := range at + 8 {
		require.Equal(t, 1, orientation(whole[:i]), "the first %d bytes", i)
	}
	require.Equal(t, 6, orientation(append([]byte{0xff, 0xd8, 0xff, 0xff}, whole[2:]...)), "markers may be filled up (ITU-T T.81, B.1.1.2)")
}

func FuzzOrientation(f *testing.F) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		f.Add(append([]byte{0xff, 0xd8}, exif(order, 6)...))
	}
	f.Add([]byte{0xff, 0xd8, 0xff, 0xe1, 0xff, 0xff})
	f.Fuzz(func(t *testing.T, raw []byte) {
		got := orientation(raw)
		require.True(t, got >= 1 && got <= 8, "%d", got)
	})
}
