package web

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // so that a picture may be one
	"net/http"

	"golang.org/x/image/draw"
)

// What is taken in as a picture, and what is made of it.
const (
	mostPictureBytes = 4 << 20
	mostPixels       = 24_000_000 // in memory, 100 MB at worst, one picture at a time
	longestSide      = 1600
	pictureQuality   = 82
)

// errPicture marks what is no picture that we take.
var errPicture = errors.New("no picture")

// picture is a picture made anew: upright as its pixels are, no larger than
// longestSide, and without whatever else the file held, such as the place where
// it was taken.
type picture struct {
	jpeg          []byte
	width, height int
}

// pictureOf reads what somebody sent. The size is looked at before anything is
// unpacked.
func pictureOf(sent []byte) (picture, error) {
	if len(sent) > mostPictureBytes {
		return picture{}, fmt.Errorf("%w: it has %d bytes, at most %d are taken", errPicture, len(sent), mostPictureBytes)
	}
	if kind := http.DetectContentType(sent); kind != "image/jpeg" && kind != "image/png" {
		return picture{}, fmt.Errorf("%w: it is %s, wanted image/jpeg or image/png", errPicture, kind)
	}
	about, _, err := image.DecodeConfig(bytes.NewReader(sent))
	if err != nil {
		return picture{}, fmt.Errorf("%w: %w", errPicture, err)
	}
	if about.Width < 1 || about.Height < 1 || about.Width > mostPixels/about.Height {
		return picture{}, fmt.Errorf("%w: %d × %d pixels, at most %d are taken", errPicture, about.Width, about.Height, mostPixels)
	}
	whole, _, err := image.Decode(bytes.NewReader(sent))
	if err != nil {
		return picture{}, fmt.Errorf("%w: %w", errPicture, err)
	}
	whole = smaller(whole)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, whole, &jpeg.Options{Quality: pictureQuality}); err != nil {
		return picture{}, fmt.Errorf("%w: %w", errPicture, err)
	}
	return picture{b.Bytes(), whole.Bounds().Dx(), whole.Bounds().Dy()}, nil
}

// smaller is a picture whose longer side is no longer than longestSide, on
// white where it was clear.
func smaller(whole image.Image) image.Image {
	size := whole.Bounds().Size()
	if long := max(size.X, size.Y); long > longestSide {
		size.X, size.Y = max(1, size.X*longestSide/long), max(1, size.Y*longestSide/long)
	}
	out := image.NewRGBA(image.Rectangle{Max: size})
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(out, out.Bounds(), whole, whole.Bounds(), draw.Over, nil)
	return out
}
