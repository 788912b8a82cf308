package door

import (
	"context"
	"fmt"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// WaterSheet is the water sheet as it stands beside the survey.
type WaterSheet struct {
	Rows           []SheetRow   `json:"rows"`
	Contradictions []string     `json:"contradictions,omitempty"`
	Next           *NextReading `json:"next,omitempty"`
	Scaling        []SheetRow   `json:"scaling,omitempty"`
}

// SheetRow is one row of the sheet.
type SheetRow struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Band  string `json:"band,omitempty"`
	From  string `json:"from"`
}

// NextReading is the one reading that would help most.
type NextReading struct {
	Name    string `json:"name"`
	Minutes string `json:"minutes"`
	Why     string `json:"why"`
	Narrows string `json:"narrows"`
}

// Water is the sheet of a site's water. Errors are those of [study.Water].
func Water(ctx context.Context, s *site.Site, o study.Options) (*WaterSheet, error) {
	o.Looks = sheetLooks
	w, err := study.Water(ctx, s, o)
	if err != nil {
		return nil, err
	}
	out := &WaterSheet{Contradictions: w.Contradictions}
	for _, r := range w.Rows {
		value, band := split(r.Band, o)
		out.Rows = append(out.Rows, SheetRow{r.Name, value, band, string(r.From)})
	}
	for _, s := range w.Scaling {
		verdict := "holds"
		switch {
		case s.Low > 0:
			verdict = "scales"
		case s.High > 0:
			verdict = "may scale"
		}
		out.Scaling = append(out.Scaling, SheetRow{Name: quantity.FormatLocale(s.Recovery, o.Units, o.Locale), Value: verdict, From: s.First})
	}
	if len(w.Next) > 0 {
		n := w.Next[0]
		out.Next = &NextReading{n.Name, fmt.Sprintf("%.0f", n.Minutes), n.Why, quantity.FormatLocale(n.Narrows, o.Units, o.Locale)}
	}
	return out, nil
}

// split is a band in two texts: its value, and from where to where.
func split(b study.Band, o study.Options) (value, band string) {
	value = b.Value.Text(o.Units, o.Locale)
	if full := b.Text(o.Units, o.Locale); full != value {
		band = strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(full, value), " ("), ")")
	}
	return value, band
}
