package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/store"
)

// photoAnswer tells a phone what the office has of a photo.
type photoAnswer struct {
	Kept  bool   `json:"kept"`
	Have  []int  `json:"have"`  // pieces, counted from 0
	Piece int    `json:"piece"` // bytes of each, but the last
	Why   string `json:"why,omitempty"`
}

func (v *visit) photoAnswer(status int, a photoAnswer) error {
	a.Piece = store.PieceBytes
	if a.Have == nil {
		a.Have = []int{}
	}
	v.w.Header().Set("Content-Type", "application/json")
	v.w.Header().Set("Cache-Control", "no-store")
	v.w.WriteHeader(status)
	return json.NewEncoder(v.w).Encode(a)
}

// refusePhoto tells a phone that sending the same again is of no use.
func (v *visit) refusePhoto(why string) error {
	return v.photoAnswer(http.StatusUnprocessableEntity, photoAnswer{Why: why})
}

// photo answers a phone that has one: which pieces are here, or that all are
// and it is kept. A phone asks before it sends and after the last piece, and as
// often as it likes.
func (v *visit) photo() error {
	if err := v.form(); err != nil {
		return err
	}
	if v.options.Photos == nil {
		return v.refusePhoto("This office keeps no photos: it was started without a folder for them.")
	}
	about, long, err := v.aboutPhoto()
	if err != nil {
		return v.refusePhoto(err.Error())
	}
	if _, err := v.store.Photo(v.r.Context(), about.Site, about.ID); err == nil {
		return v.photoAnswer(http.StatusOK, photoAnswer{Kept: true})
	} else if !errors.Is(err, store.ErrNone) {
		return err
	}
	whole, err := v.options.Photos.Joined(about.ID, long)
	switch {
	case err == nil:
		return v.keepPhoto(about, whole)
	case errors.Is(err, store.ErrNone), errors.Is(err, store.ErrReading):
		have, err := v.options.Photos.Pieces(about.ID)
		if err != nil {
			return err
		}
		return v.photoAnswer(http.StatusOK, photoAnswer{Have: have})
	}
	return err
}

// aboutPhoto is what a phone says of a photo.
func (v *visit) aboutPhoto() (p store.Photo, long int, err error) {
	p = store.Photo{Site: v.r.PathValue("id"), ID: v.r.PostFormValue("photo"), Words: oneLine(v.r.PostFormValue("words"))}
	taken, err1 := strconv.ParseInt(v.r.PostFormValue("taken"), 10, 64)
	offset, err2 := strconv.ParseInt(v.r.PostFormValue("offset"), 10, 64)
	long, err3 := strconv.Atoi(v.r.PostFormValue("bytes"))
	p.Taken, p.OffsetMinutes = time.UnixMilli(taken), offset
	switch {
	case errors.Join(err1, err2, err3) != nil || !store.SoundHash(p.ID) || p.Taken.Year() < 2000 || p.Taken.Year() > 2200 || offset < -1080 || offset > 1080:
		return p, 0, errors.New("the phone does not say which photo it has, or when it was taken")
	case long < 1 || long > mostPictureBytes:
		return p, 0, fmt.Errorf("a photo has at most %d MB", mostPictureBytes>>20)
	case len(p.Words) > 500:
		return p, 0, errors.New("what it shows is told in at most 500 letters")
	}
	return p, long, nil
}

// keepPhoto keeps a photo whose pieces are all here, and lets go of them.
func (v *visit) keepPhoto(about store.Photo, whole []byte) error {
	err := v.takePhoto(about, whole)
	if err != nil && !errors.Is(err, errPicture) {
		return err
	}
	if err := v.options.Photos.Forget(about.ID); err != nil {
		return err
	}
	if err != nil {
		return v.refusePhoto("That is no picture that can be taken: " + strings.TrimPrefix(err.Error(), errPicture.Error()+": "))
	}
	return v.photoAnswer(http.StatusOK, photoAnswer{Kept: true})
}

// takePhoto makes a photo anew and keeps it. One at a time is unpacked.
func (v *visit) takePhoto(about store.Photo, whole []byte) error {
	select {
	case v.unpacking <- struct{}{}:
		defer func() { <-v.unpacking }()
	case <-v.r.Context().Done():
		return v.r.Context().Err()
	}
	made, err := pictureOf(whole)
	if err != nil {
		return err
	}
	if about.Kept, err = v.options.Photos.Keep(made.jpeg); err != nil {
		return err
	}
	about.Bytes, about.Width, about.Height = int64(len(made.jpeg)), made.width, made.height
	return v.store.AddPhoto(v.r.Context(), v.person(), about)
}

// photoPiece keeps one piece of a photo.
func (v *visit) photoPiece() error {
	if v.options.Photos == nil {
		return v.refusePhoto("This office keeps no photos: it was started without a folder for them.")
	}
	if _, err := v.store.Site(v.r.Context(), v.r.PathValue("id")); err != nil {
		return err
	}
	n, err := strconv.Atoi(v.r.PathValue("n"))
	if err != nil {
		return v.refusePhoto("A piece has a number.")
	}
	piece, err := io.ReadAll(http.MaxBytesReader(v.w, v.r.Body, store.PieceBytes))
	if err != nil {
		return v.refusePhoto("A piece has at most 128 KiB.")
	}
	switch err := v.options.Photos.KeepPiece(v.r.PathValue("photo"), n, piece); {
	case errors.Is(err, store.ErrReading):
		return v.refusePhoto("That is no piece of a photo.")
	case errors.Is(err, store.ErrFull):
		return refuse(http.StatusInsufficientStorage, "Too many photos are on their way.", "Send it again later.")
	case err != nil:
		return err
	}
	return v.photoAnswer(http.StatusOK, photoAnswer{})
}

// pictureFile hands out a photo, which a browser may show and not run.
func (v *visit) pictureFile() error {
	name := v.r.PathValue("kept")
	if v.options.Photos == nil {
		return store.ErrNone
	}
	if _, err := v.store.PhotoKept(v.r.Context(), name); err != nil {
		return err
	}
	content, err := v.options.Photos.Content(name)
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Disposition", `attachment; filename="`+name[:12]+`.jpg"`)
	h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	_, err = v.w.Write(content)
	return err
}

// photoView is a photo as the site's page shows it.
type photoView struct {
	Kept, Words, When, Who string
	Width, Height          int
}

// photosOf are a site's photos, the latest first.
func (v *visit) photosOf(site string) (views []photoView, err error) {
	photos, err := v.store.Photos(v.r.Context(), site, 60)
	if err != nil || len(photos) == 0 {
		return nil, err
	}
	names, err := v.names()
	for _, p := range photos {
		local := p.Taken.Add(time.Duration(p.OffsetMinutes) * time.Minute)
		views = append(views, photoView{p.Kept, p.Words, v.speaker().Clock(local.UTC()), names[p.Person], p.Width, p.Height})
	}
	return views, err
}

// names are everyone's, by id.
func (v *visit) names() (map[string]string, error) {
	people, err := v.store.People(v.r.Context())
	names := map[string]string{}
	for _, p := range people {
		names[p.ID] = p.Name
	}
	return names, err
}
