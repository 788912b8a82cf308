package paper

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// taken is a picture as a telephone saves it: red at its left, with notes that
// say how it was held and where it was.
func taken(t testing.TB, w, h, held int) []byte {
	t.Helper()
	p := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{240, 240, 240, 255}
			if x < w/2 {
				c = color.RGBA{200, 20, 20, 255}
			}
			p.Set(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, nil); err != nil {
		t.Fatal(err)
	}
	notes := []byte("Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00")
	notes = binary.LittleEndian.AppendUint32(notes, uint32(held))
	notes = append(notes, "\x00\x00\x00\x00GPS 51.5N 0.1W"...)
	segment := append([]byte{0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(notes)+2))...)
	return append(append([]byte{0xff, 0xd8}, append(segment, notes...)...), b.Bytes()[2:]...)
}

func TestAPhotographLosesItsPlace(t *testing.T) {
	photo, err := Photograph(taken(t, 3000, 2000, 1), "the skid")
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(photo.JPEG, []byte("Exif")) || bytes.Contains(photo.JPEG, []byte("GPS")) {
		t.Error("the camera's notes are still there")
	}
	if photo.Width != 1400 || photo.Height != 933 {
		t.Errorf("the picture is %d × %d, want 1400 × 933", photo.Width, photo.Height)
	}
}

// Where the red side, left as taken, stands once the picture is upright; the
// numbers are those of the standard of cameras (from memory, unverified).
func TestAPhotographIsTurnedUpright(t *testing.T) {
	for _, row := range []struct {
		held, w, h int
		x, y       int // a place that must be red
	}{
		{1, 60, 40, 5, 20},
		{3, 60, 40, 55, 20},
		{6, 40, 60, 20, 5},
		{8, 40, 60, 20, 55},
		{2, 60, 40, 55, 20},
		{99, 60, 40, 5, 20},
	} {
		photo, err := Photograph(taken(t, 60, 40, row.held), "")
		if err != nil {
			t.Fatal(err)
		}
		p, err := jpeg.Decode(bytes.NewReader(photo.JPEG))
		if err != nil {
			t.Fatal(err)
		}
		if b := p.Bounds(); b.Dx() != row.w || b.Dy() != row.h {
			t.Errorf("held %d: %d × %d, want %d × %d", row.held, b.Dx(), b.Dy(), row.w, row.h)
			continue
		}
		if r, g, _, _ := p.At(row.x, row.y).RGBA(); r>>8 < 150 || g>>8 > 90 {
			t.Errorf("held %d: the red side is not at %d, %d", row.held, row.x, row.y)
		}
	}
}

func TestWhatIsNoPhotographIsRefused(t *testing.T) {
	huge := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR\x00\x01\x00\x00\x00\x01\x00\x00\x08\x02\x00\x00\x00"), "\x00\x00\x00\x00"...)
	for name, data := range map[string][]byte{"nothing": nil, "text": []byte("a photograph"), "65536 pixels square": huge, "cut short": taken(t, 60, 40, 1)[:200]} {
		if _, err := Photograph(data, ""); !errors.Is(err, ErrPhoto) {
			t.Errorf("%s: error %v, want one that wraps ErrPhoto", name, err)
		}
	}
}

func FuzzPhotograph(f *testing.F) {
	f.Add(taken(f, 8, 6, 6))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if c, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && c.Width*c.Height > 1<<20 {
			return // large and slow; the bound has its own test
		}
		if p, err := Photograph(data, ""); err == nil && (p.Width < 1 || p.Height < 1) {
			t.Errorf("a picture of %d × %d", p.Width, p.Height)
		}
	})
}
