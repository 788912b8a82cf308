package paper

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // photographs of screens
	"math"

	scaler "golang.org/x/image/draw"

	"rinsewright/internal/paper/layout"
)

// ErrPhoto is wrapped when a picture cannot be used.
var ErrPhoto = errors.New("photograph not usable")

const (
	longestSide = 1400     // pixels kept: 200 an inch across half a page
	mostPixels  = 80 << 20 // of what is read
	photoGrade  = 82       // of the JPEG
)

// Photograph makes a picture small and upright and takes everything else off
// it: where and when it was made, and with what. JPEG and PNG are read.
func Photograph(data []byte, caption string) (layout.Photo, error) {
	size, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return layout.Photo{}, fmt.Errorf("%w: %w", ErrPhoto, err)
	}
	if size.Width <= 0 || size.Height <= 0 || size.Width > mostPixels/size.Height {
		return layout.Photo{}, fmt.Errorf("%w: %d × %d pixels, at most %d million", ErrPhoto, size.Width, size.Height, mostPixels>>20)
	}
	whole, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return layout.Photo{}, fmt.Errorf("%w: %w", ErrPhoto, err)
	}
	small := scaled(whole)
	if kind == "jpeg" {
		small = upright(small, orientation(data))
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, small, &jpeg.Options{Quality: photoGrade}); err != nil {
		return layout.Photo{}, fmt.Errorf("%w: %w", ErrPhoto, err)
	}
	return layout.Photo{JPEG: b.Bytes(), Width: small.Bounds().Dx(), Height: small.Bounds().Dy(), Caption: caption}, nil
}

func scaled(whole image.Image) *image.RGBA {
	b := whole.Bounds()
	scale := min(1, longestSide/float64(max(b.Dx(), b.Dy())))
	w, h := max(1, int(math.Round(float64(b.Dx())*scale))), max(1, int(math.Round(float64(b.Dy())*scale)))
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	scaler.Draw(small, small.Bounds(), image.White, image.Point{}, scaler.Src) // under what is clear
	scaler.ApproxBiLinear.Scale(small, small.Bounds(), whole, b, scaler.Over, nil)
	return small
}

// upright turns a picture as its camera was held: 1 is upright, the others as
// the standard of cameras counts them.
func upright(p *image.RGBA, held int) *image.RGBA {
	if held < 2 || held > 8 {
		return p
	}
	w, h := p.Bounds().Dx(), p.Bounds().Dy()
	if held >= 5 {
		w, h = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.Set(x, y, p.At(turned(held, x, y, w, h)))
		}
	}
	return out
}

// turned gives where a pixel of the upright picture lies in the one that was
// taken.
func turned(held, x, y, w, h int) (fromX, fromY int) {
	switch held {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, w - 1 - x
	case 7:
		return h - 1 - y, w - 1 - x
	}
	return h - 1 - y, x // 8
}

// orientation finds how the camera was held among the notes of a JPEG, 1 when
// it does not say. Only that one note is read.
func orientation(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, length := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		if marker == 0xda || length < 2 || at+2+length > len(data) {
			return 1
		}
		if segment := data[at+4 : at+2+length]; marker == 0xe1 && bytes.HasPrefix(segment, []byte("Exif\x00\x00")) {
			return held(segment[6:])
		}
		at += 2 + length
	}
	return 1
}

// held reads the orientation from a camera's notes, which are laid out as a
// TIFF: byte order, then a list of entries of twelve bytes.
func held(notes []byte) int {
	if len(notes) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.BigEndian
	if notes[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int(order.Uint32(notes[4:]))
	if at < 8 || at+2 > len(notes) {
		return 1
	}
	const orientationTag = 0x0112
	for i := range int(order.Uint16(notes[at:])) {
		entry := at + 2 + 12*i
		if entry+12 > len(notes) {
			return 1
		}
		if order.Uint16(notes[entry:]) == orientationTag {
			return int(order.Uint16(notes[entry+8:]))
		}
	}
	return 1
}
