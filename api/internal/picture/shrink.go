package picture

import (
	"image"
	"image/draw"
)

// shrink makes a picture no longer than longest on either side; each pixel is the
// mean of the area it covers, on white where one can see through. It goes row by
// row: a scaler that keeps what it has scaled in one direction takes more memory
// than the picture itself.
func shrink(src image.Image, longest int) *image.RGBA {
	b := src.Bounds()
	w, h := fit(b.Dx(), b.Dy(), longest)
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	row := image.NewRGBA(image.Rect(0, 0, b.Dx(), 1))
	line, sums := make([]uint64, 3*w), make([]uint64, 3*w)
	// A row that is read has h parts, a row that is made takes as many parts as there are rows to read.
	y, missing := 0, b.Dy()
	for from := b.Min.Y; from < b.Max.Y; from++ {
		draw.Draw(row, row.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(row, row.Rect, src, image.Pt(b.Min.X, from), draw.Over)
		squeeze(line, row.Pix)
		for parts := h; parts > 0; {
			take := min(parts, missing)
			for i, sum := range line {
				sums[i] += uint64(take) * sum
			}
			parts, missing = parts-take, missing-take
			if missing == 0 {
				write(dst.Pix[y*dst.Stride:(y+1)*dst.Stride], sums, uint64(b.Dx())*uint64(b.Dy()))
				y, missing = y+1, b.Dy()
			}
		}
	}
	return dst
}

// fit gives the sides of a picture made no longer than longest, never larger.
func fit(w, h, longest int) (int, int) {
	long := max(w, h)
	if long <= longest {
		return w, h
	}
	scaled := func(side int) int { return max(1, (side*longest+long/2)/long) }
	return scaled(w), scaled(h)
}

// squeeze adds a row of pixels up into the fewer of line: a pixel read has as
// many parts as line has pixels, a pixel of line takes as many as are read.
func squeeze(line []uint64, pix []uint8) {
	clear(line)
	wide := len(pix) / 4
	at, missing := 0, wide
	for x := range wide {
		for parts := len(line) / 3; parts > 0; {
			take := min(parts, missing)
			for c := range 3 {
				line[at+c] += uint64(take) * uint64(pix[4*x+c])
			}
			parts, missing = parts-take, missing-take
			if missing == 0 {
				at, missing = at+3, wide
			}
		}
	}
}

// write puts the means into a row of pixels and empties the sums.
func write(pix []uint8, sums []uint64, area uint64) {
	for i, sum := range sums {
		pix[i/3*4+i%3] = uint8((sum + area/2) / area)
	}
	for x := 3; x < len(pix); x += 4 {
		pix[x] = 255
	}
	clear(sums)
}
