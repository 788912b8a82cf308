package web

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"rinsewright/internal/store"
)

// noisy is a picture that no encoder makes small, upright in its left half.
func noisy(w, h int) image.Image {
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	rng := rand.New(rand.NewPCG(1, 2))
	for y := range h {
		for x := range w {
			out.Set(x, y, color.RGBA{uint8(rng.Uint32()), uint8(rng.Uint32()), uint8(x * 255 / w), 255})
		}
	}
	return out
}

func jpegOf(t testing.TB, whole image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, whole, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withPlace is a photo as a camera writes it, with the place in it. The place
// is invented.
func withPlace(photo []byte) []byte {
	about := append([]byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x00"), "GPS 12.345 N 67.890 W, Kit's pen 7"...)
	segment := append([]byte{0xff, 0xe1, 0, 0}, about...)
	binary.BigEndian.PutUint16(segment[2:], uint16(len(about)+2))
	return append(append(append([]byte{}, photo[:2]...), segment...), photo[2:]...)
}

// hugePNG says that it has many pixels and holds almost none.
func hugePNG(w, h uint32) []byte {
	head := append([]byte("IHDR"), make([]byte, 13)...)
	binary.BigEndian.PutUint32(head[4:], w)
	binary.BigEndian.PutUint32(head[8:], h)
	head[12], head[13] = 8, 2
	b := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

func TestAPictureIsMadeAnew(t *testing.T) {
	sent := append(withPlace(jpegOf(t, noisy(2000, 1000))), "<script>alert(1)</script>"...)
	made, err := pictureOf(sent)
	if err != nil {
		t.Fatal(err)
	}
	if made.width != 1600 || made.height != 800 {
		t.Errorf("%d × %d, want 1600 × 800", made.width, made.height)
	}
	for _, secret := range []string{"Exif", "GPS", "script", "pen 7"} {
		if bytes.Contains(made.jpeg, []byte(secret)) {
			t.Errorf("it still holds %q", secret)
		}
	}
	var clear bytes.Buffer
	if err := png.Encode(&clear, image.NewRGBA(image.Rect(0, 0, 3, 2))); err != nil {
		t.Fatal(err)
	}
	made, err = pictureOf(clear.Bytes())
	if err != nil || made.width != 3 {
		t.Fatalf("%+v, %v", made, err)
	}
	back, err := jpeg.Decode(bytes.NewReader(made.jpeg))
	if err != nil {
		t.Fatal(err)
	}
	if r, _, _, _ := back.At(1, 1).RGBA(); r < 0xf000 {
		t.Error("what was clear is not white")
	}
}

func TestHostilePicturesAreRefused(t *testing.T) {
	good := jpegOf(t, noisy(40, 30))
	bad := map[string][]byte{
		"nothing":            nil,
		"a page":             []byte("<!doctype html><script>alert(1)</script>"),
		"a drawing":          []byte(`<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`),
		"a film":             []byte("GIF89a\x01\x00\x01\x00"),
		"an archive":         []byte("PK\x03\x04 and so on"),
		"a program":          []byte("\x7fELF and so on"),
		"four thousand mega": hugePNG(65000, 65000),
		"a long strip":       hugePNG(1<<31-1, 1),
		"no pixels":          hugePNG(0, 0),
		"wide as the sea":    hugePNG(1<<32-1, 1<<32-1),
		"half of one":        good[:len(good)/2],
		"a head":             good[:20],
		"too much":           append(bytes.Clone(good), make([]byte, mostPictureBytes)...),
	}
	for name, sent := range bad {
		if made, err := pictureOf(sent); err == nil {
			t.Errorf("%s became a picture of %d × %d", name, made.width, made.height)
		}
	}
	if _, err := pictureOf(good); err != nil {
		t.Errorf("control: a good one is refused: %v", err)
	}
}

func FuzzPicture(f *testing.F) {
	f.Add(withPlace(jpegOf(f, noisy(9, 7))))
	f.Add(hugePNG(3, 3))
	f.Fuzz(func(t *testing.T, sent []byte) {
		made, err := pictureOf(sent)
		if err != nil {
			return
		}
		about, kind, err := image.DecodeConfig(bytes.NewReader(made.jpeg))
		if err != nil || kind != "jpeg" || about.Width != made.width || about.Height != made.height || max(about.Width, about.Height) > longestSide {
			t.Errorf("%s %+v, %v", kind, about, err)
		}
	})
}

// sends sends a photo as a phone does, all pieces but those left out.
func (v *visitor) sends(site string, photo []byte, but ...int) photoAnswer {
	v.t.Helper()
	to := "/sites/" + site + "/photos"
	about := url.Values{"photo": {store.Hash(string(photo))}, "bytes": {fmt.Sprint(len(photo))}, "taken": {"1780000000000"}, "offset": {"-240"}, "words": {"the lead bottle"}}
	office := v.asks(to, about)
	for n := 0; n*store.PieceBytes < len(photo); n++ {
		if len(but) > 0 && but[0] == n {
			continue
		}
		piece := photo[n*store.PieceBytes : min((n+1)*store.PieceBytes, len(photo))]
		r, err := http.NewRequestWithContext(v.t.Context(), http.MethodPost, fmt.Sprintf("%s%s/%s/%d", v.base, to, about.Get("photo"), n), bytes.NewReader(piece))
		if err != nil {
			v.t.Fatal(err)
		}
		answer, err := v.client.Do(r)
		if err != nil {
			v.t.Fatal(err)
		}
		if body := text(v.t, answer.Body); answer.StatusCode != http.StatusOK {
			v.t.Errorf("piece %d: %d %s", n, answer.StatusCode, body)
		}
		if err := answer.Body.Close(); err != nil {
			v.t.Error(err)
		}
	}
	if !office.Kept {
		office = v.asks(to, about)
	}
	return office
}

func (v *visitor) asks(to string, about url.Values) (a photoAnswer) {
	v.t.Helper()
	status, body, _ := v.send(http.MethodPost, to, about)
	if err := json.Unmarshal([]byte(body), &a); err != nil || status >= 500 {
		v.t.Fatalf("%d %s, %v", status, body, err)
	}
	return a
}

func TestAPhotoArrivesInPiecesAndOnce(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	site := s.gullPoint(t)
	photo := withPlace(jpegOf(t, noisy(900, 700)))
	if len(photo) < 2*store.PieceBytes {
		t.Fatalf("the test's photo has only %d bytes", len(photo))
	}
	if a := v.sends(site.ID, photo, 1); a.Kept || len(a.Have) == 0 || a.Have[0] != 0 {
		t.Errorf("without its second piece: %+v", a)
	}
	for range 2 {
		if a := v.sends(site.ID, photo); !a.Kept {
			t.Errorf("whole: %+v", a)
		}
	}
	photos, err := s.store.Photos(t.Context(), site.ID, 10)
	if err != nil || len(photos) != 1 {
		t.Fatalf("%d photos, %v", len(photos), err)
	}
	_, body, header := v.send(http.MethodGet, "/photos/"+photos[0].Kept, nil)
	if header.Get("Content-Type") != "image/jpeg" || header.Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(header.Get("Content-Security-Policy"), "sandbox") || !strings.HasPrefix(header.Get("Content-Disposition"), "attachment") {
		t.Errorf("headers %v", header)
	}
	if store.Hash(body) != photos[0].Kept || strings.Contains(body, "GPS") {
		t.Error("what comes out is not what was kept, or it tells the place")
	}
	if _, page := v.get("/sites/" + site.ID); !strings.Contains(page, "/photos/"+photos[0].Kept) || !strings.Contains(page, "the lead bottle") {
		t.Error("the site's page does not show it")
	}
	stranger := s.visitor(t)
	if status, _ := stranger.get("/photos/" + photos[0].Kept); status != http.StatusSeeOther {
		t.Errorf("to a stranger: %d", status)
	}
	for name, sent := range map[string][]byte{"a page": []byte("<script>alert(1)</script>"), "half of one": photo[:len(photo)/2]} {
		if a := v.sends(site.ID, sent); a.Kept || a.Why == "" {
			t.Errorf("%s: %+v", name, a)
		}
	}
	for _, form := range []url.Values{{}, {"photo": {"../x"}, "bytes": {"5"}, "taken": {"1780000000000"}, "offset": {"0"}}, {"photo": {store.Hash("x")}, "bytes": {"99999999"}, "taken": {"1780000000000"}, "offset": {"0"}}} {
		if a := v.asks("/sites/"+site.ID+"/photos", form); a.Kept || a.Why == "" {
			t.Errorf("%v: %+v", form, a)
		}
	}
}

// dropping loses every piece of a photo whose number it does not like yet.
type dropping struct {
	next http.Handler
	mu   sync.Mutex
	seen map[string]int
}

func (d *dropping) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method == http.MethodPost && strings.Contains(r.URL.Path, "/photos/") {
		d.mu.Lock()
		d.seen[r.URL.Path]++
		first := d.seen[r.URL.Path] == 1
		d.mu.Unlock()
		if first && strings.HasSuffix(r.URL.Path, "/1") {
			panic(http.ErrAbortHandler)
		}
	}
	d.next.ServeHTTP(w, r)
}

// On a phone: a photo is taken without signal, made small there, sent in pieces
// when there is signal, goes on where it stopped, and stands at its site once,
// without the place.
func TestAPhotoFromThePhone(t *testing.T) {
	s := serving(t)
	network := &patchy{next: s.pages}
	lossy := &dropping{next: network, seen: map[string]int{}}
	server := httptest.NewServer(lossy)
	defer server.Close()
	s.URL = server.URL
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	path := filepath.Join(t.TempDir(), "photo.jpg")
	if err := os.WriteFile(path, withPlace(jpegOf(t, noisy(1700, 1200))), 0o600); err != nil {
		t.Fatal(err)
	}
	odd := filepath.Join(t.TempDir(), "odd.jpg")
	if err := os.WriteFile(odd, []byte("no picture"), 0o600); err != nil {
		t.Fatal(err)
	}
	p.open("/sites/" + site.ID + "/reading")
	network.set(cut)
	p.types("#photo-words", "the lead bottle")
	p.do(upload("#photo", path))
	p.sees("One photo is on this phone")
	p.sees("1 on this phone")
	p.do(upload("#photo", odd))
	p.sees("1 could not be read as a picture")
	p.types(`[name="raw.value"]`, "300")
	p.presses("Keep the reading")
	p.sees("2 on this phone")
	network.set(clear)
	p.open("/phone")
	p.presses("Send now")
	p.waits(`document.querySelector("#unsent").hidden`)
	photos, err := s.store.Photos(t.Context(), site.ID, 10)
	if err != nil || len(photos) != 1 || photos[0].Width != 1600 || photos[0].Words != "the lead bottle" {
		t.Fatalf("%+v, %v", photos, err)
	}
	again := 0
	lossy.mu.Lock()
	for at, n := range lossy.seen {
		if n > 1 && !strings.HasSuffix(at, "/1") {
			again++
		}
	}
	pieces := len(lossy.seen)
	lossy.mu.Unlock()
	if pieces < 4 || again > 0 {
		t.Errorf("of %d pieces %d were sent again although the office had them", pieces, again)
	}
	p.open("/sites/" + site.ID)
	p.sees("the lead bottle")
	p.waits(`(() => { const i = document.querySelector(".photos img"); i.scrollIntoView(); return i.complete && i.naturalWidth === 1600 })()`)
	p.accessible("a site with a photo")
	p.shot("site-photo-380", 380)
}
