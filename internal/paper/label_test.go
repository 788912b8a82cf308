package paper_test

import (
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"rinsewright/internal/paper"
)

// The code on the label is read as a telephone reads it: off the printed page.
func TestTheCodeOnTheLabelOpensTheReadingPage(t *testing.T) {
	k, _ := paper.KindNamed("label")
	for _, address := range []string{"https://rinse.example.org/sites/7/reading", "http://192.168.1.20:8080/sites/0192f3a4-7c1e-7000-8000-1234567890ab/reading"} {
		j := plainJob()
		j.Address = address
		file, _ := printed(t, k, record(t, "cormorant-reach"), j)
		page := filepath.Join(t.TempDir(), "label")
		tool(t, "pdftoppm", "-r", "150", "-png", "-singlefile", file, page)
		f, err := os.Open(page + ".png")
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		img, err := png.Decode(f)
		if err != nil {
			t.Fatal(err)
		}
		bits, err := gozxing.NewBinaryBitmapFromImage(img)
		if err != nil {
			t.Fatal(err)
		}
		read, err := qrcode.NewQRCodeReader().Decode(bits, nil)
		if err != nil {
			t.Fatalf("the code of %s does not read: %v", address, err)
		}
		if read.GetText() != address {
			t.Errorf("the code reads %q, want %q", read.GetText(), address)
		}
	}
}
