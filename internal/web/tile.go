package web

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
)

// tile is what stands for the pages on a phone's home screen: a plain tile of
// paper with the path's line across it, wider before the middle than behind.
// It is no mark and holds no letter.
func tile(side int) string {
	paper, water := color.RGBA{0xfb, 0xfa, 0xf7, 0xff}, color.RGBA{0x0b, 0x6e, 0x74, 0xff}
	out := image.NewRGBA(image.Rect(0, 0, side, side))
	draw.Draw(out, out.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	line := func(from, to, wide int) {
		draw.Draw(out, image.Rect(from, (side-wide)/2, to, (side+wide)/2), image.NewUniform(water), image.Point{}, draw.Src)
	}
	line(0, side/2, side/8)
	line(side/2, side, side/24)
	var b bytes.Buffer
	_ = png.Encode(&b, out) // a buffer takes everything
	return b.String()
}
