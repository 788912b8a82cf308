package web

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// apiReading is one number of a sample, with its unit, or why there is none.
type apiReading struct {
	Name    string   `json:"name"`
	Value   string   `json:"value,omitempty"`   // as it was typed: "9.5 ppm NaCl"
	Skipped string   `json:"skipped,omitempty"` // why nothing was read
	SI      *float64 `json:"si,omitempty"`      // in answers
	Unit    string   `json:"unit,omitempty"`    // of si
}

// apiSample is what was read of one water, or of the rig's gauges, at one time.
type apiSample struct {
	ID       string       `json:"id,omitempty"`
	Place    string       `json:"place"`
	Taken    time.Time    `json:"taken"`
	Device   string       `json:"device,omitempty"`
	Number   int64        `json:"number,omitempty"` // of the device's own count
	Note     string       `json:"note,omitempty"`
	Corrects string       `json:"corrects,omitempty"`
	Reason   string       `json:"reason,omitempty"`
	Readings []apiReading `json:"readings"`
	Received *time.Time   `json:"received,omitempty"`
	Person   string       `json:"person,omitempty"`
}

type apiSamples struct {
	Samples []apiSample `json:"samples"`
	Next    string      `json:"next"`
}

type apiBatch struct {
	Samples []apiSample `json:"samples"`
}

type apiReceipt struct {
	ID   string `json:"id"`
	Kept bool   `json:"kept"`
	Code string `json:"code,omitempty"`
	Why  string `json:"why,omitempty"`
}

type apiReceipts struct {
	Receipts []apiReceipt `json:"receipts"`
}

// mostAtOnce is how many samples may come at once.
const mostAtOnce = 100

func (v *visit) apiListSamples() error {
	limit, after, err := v.page()
	if err != nil {
		return err
	}
	var taken time.Time
	var id string
	if after != "" {
		if taken, id, err = sampleCursor(after); err != nil {
			return refuse(http.StatusUnprocessableEntity, "The page asked for is none that was given.", "Take after from next of the page before.")
		}
	}
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	list, err := v.store.SamplesBefore(v.r.Context(), kept.ID, taken, id, limit+1)
	if err != nil {
		return err
	}
	out := apiSamples{Samples: []apiSample{}}
	if len(list) > limit {
		list = list[:limit]
		out.Next = cursorOf(list[limit-1])
	}
	for _, x := range list {
		out.Samples = append(out.Samples, sampleAsGiven(x))
	}
	v.nextPage(limit, out.Next)
	return v.give(http.StatusOK, out)
}

func cursorOf(x store.Sample) string {
	return base64.RawURLEncoding.EncodeToString(fmt.Appendf(nil, "%d %s", x.Taken.UnixMilli(), x.ID))
}

func sampleCursor(text string) (taken time.Time, id string, err error) {
	b, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil {
		return taken, "", err
	}
	ms, id, _ := strings.Cut(string(b), " ")
	n, err := strconv.ParseInt(ms, 10, 64)
	if err != nil || !store.SoundID(id) {
		return taken, "", errors.Join(err, store.ErrNone)
	}
	return time.UnixMilli(n), id, nil
}

func sampleAsGiven(x store.Sample) apiSample {
	zone := time.FixedZone("", int(x.OffsetMinutes)*60)
	out := apiSample{
		ID: x.ID, Place: x.Place, Taken: x.Taken.In(zone), Device: x.Device, Number: x.DeviceSeq, Note: x.Note,
		Corrects: x.Corrects, Reason: x.Reason, Received: &x.Received, Person: x.Person, Readings: []apiReading{},
	}
	for _, r := range x.Readings {
		one := apiReading{Name: r.Name, Value: r.Typed, Skipped: r.Skipped, Unit: r.Unit}
		if r.Skipped == "" && r.Unit != "" {
			one.SI = &r.SI
		}
		out.Readings = append(out.Readings, one)
	}
	return out
}

// apiLog keeps samples. Each has a receipt; the same sample sent again is
// answered as kept.
func (v *visit) apiLog() error {
	var batch apiBatch
	if err := v.taken(&batch); err != nil {
		return err
	}
	if len(batch.Samples) == 0 || len(batch.Samples) > mostAtOnce {
		return refuse(http.StatusUnprocessableEntity, fmt.Sprintf("There are %d samples in it.", len(batch.Samples)), "Send 1 to 100 at once.")
	}
	kept, err := v.store.Site(v.r.Context(), v.r.PathValue("id"))
	if err != nil {
		return err
	}
	out := apiReceipts{Receipts: make([]apiReceipt, len(batch.Samples))}
	var sound []store.Sample
	var at []int
	for i, said := range batch.Samples {
		x, err := v.sampleAsSaid(kept.ID, said)
		out.Receipts[i].ID = x.ID
		if err != nil {
			out.Receipts[i].Code, out.Receipts[i].Why = "not-accepted", err.Error()
			continue
		}
		sound, at = append(sound, x), append(at, i)
	}
	receipts, err := v.count(v.store.Log(v.r.Context(), v.person(), sound))
	if err != nil {
		return err
	}
	v.foreseer.wake()
	for k, r := range receipts {
		one := &out.Receipts[at[k]]
		switch one.Kept = r.Kept; {
		case errors.Is(r.Err, store.ErrConflict):
			one.Code, one.Why = "conflict", "Another sample stands under this id or number. Both are kept until a person chooses on the page Two versions."
		case r.Err != nil:
			one.Code, one.Why = "not-accepted", r.Err.Error()
		}
	}
	return v.give(http.StatusOK, out)
}

// sampleAsSaid reads a sample as a program says it. Where it gives no id one is
// made; where it names no device, the person in whose name it asks is the device.
func (v *visit) sampleAsSaid(siteID string, said apiSample) (store.Sample, error) {
	x := store.Sample{
		ID: said.ID, Site: siteID, Place: said.Place, Taken: said.Taken, Device: said.Device, DeviceSeq: said.Number,
		Program: "api " + v.options.Version, Note: said.Note, Corrects: said.Corrects, Reason: said.Reason,
	}
	_, seconds := said.Taken.Zone()
	x.OffsetMinutes = int64(seconds / 60)
	if x.ID == "" {
		x.ID = store.NewID(v.options.Now())
	}
	if x.Device == "" {
		x.Device, x.DeviceSeq = v.person(), numberOf(x.ID)
	}
	if !slices.Contains(samplePlaces, x.Place) {
		return x, fmt.Errorf("place: read %q, wanted one of %s", x.Place, strings.Join(samplePlaces, ", "))
	}
	scale := ""
	for _, r := range said.Readings {
		if r.Name == "scale" {
			scale = r.Value
		}
	}
	for _, r := range said.Readings {
		if r.SI != nil || r.Unit != "" {
			return x, fmt.Errorf("%s: read si or unit, wanted value with its unit, for example \"9.5 ppm\"", r.Name)
		}
		readings, err := r.read(x.Place, scale)
		if err != nil {
			return x, err
		}
		x.Readings = append(x.Readings, readings...)
	}
	return x, nil
}

// samplePlaces are where a sample can be taken.
var samplePlaces = []string{"raw", "permeate", "polished", ofTheRig}

// numberOf is a number of a device's count for a sample that has an id and no
// number.
func numberOf(id string) int64 {
	sum := sha256.Sum256([]byte(id))
	return int64(binary.BigEndian.Uint64(sum[:])>>2) + 1
}

// read reads one reading as the pages do. Programs write a decimal point.
func (r apiReading) read(place, scale string) ([]store.Reading, error) {
	r.Value = strings.TrimSpace(r.Value)
	switch {
	case (r.Value == "") == (r.Skipped == ""):
		return nil, fmt.Errorf("%s: read neither or both of value and skipped, wanted one of them", r.Name)
	case r.Skipped != "":
		return []store.Reading{{Name: r.Name, Skipped: r.Skipped}}, nil
	case strings.Trim(r.Value, "0123456789.+-eE") == "" && r.Name != "pH" && r.Name != "scale":
		return nil, fmt.Errorf("%s: read %q, wanted a number with its unit, for example \"9.5 ppm\"", r.Name, r.Value)
	case place == ofTheRig:
		g := gaugeAsk{Gauge: plant.Gauge(r.Name)}
		return g.typed(r.Value, "", scale, quantity.Locale{}), wrongReading(r, g.Wrong)
	case r.Name == "scale":
		return nil, nil // stands beside the strength
	case r.Name == "strength" || r.Name == "conductivity":
		readings, wrong := strengthRead(ask{Value: r.Value}, scale, quantity.Locale{})
		return readings, wrongReading(r, wrong)
	case slices.Contains(bagged, r.Name):
		f := bagAsk{Key: r.Name, Value: r.Value}
		return f.read(quantity.Locale{}), wrongReading(r, f.Wrong)
	}
	return nil, fmt.Errorf("%s: read a name that is none of a water's readings, wanted strength, %s", r.Name, strings.Join(bagged, ", "))
}

func wrongReading(r apiReading, wrong string) error {
	if wrong == "" {
		return nil
	}
	return fmt.Errorf("%s: read %q. %s", r.Name, r.Value, wrong)
}
