package study

import (
	"testing"

	"rinsewright/service"
)

func TestWhatAUtilityAnnouncedIsRead(t *testing.T) {
	const noted = service.Day(20_000)
	day := func(text string) service.Day { return dayIn(text, 0) }
	for _, c := range []struct {
		words string
		want  service.Notice
	}{
		{"Free chlorine from 2026-03-01 to 2026-03-21", service.Notice{Kind: service.FreeWeeks, From: day("2026-03-01"), Until: day("2026-03-21")}},
		{"free chlorine for 3 weeks", service.Notice{Kind: service.FreeWeeks, From: noted, Until: noted + 20}},
		{"utility switches to free chlorine 2026-03-01, 6 weeks", service.Notice{Kind: service.FreeWeeks, From: day("2026-03-01"), Until: day("2026-03-01") + 41}},
		{"free chlorine again", service.Notice{Kind: service.FreeWeeks, From: noted, Until: noted + 27}},
		{"free chlorine from 2026-03-21 to 2026-03-01", service.Notice{Kind: service.FreeWeeks, From: day("2026-03-21"), Until: day("2026-03-21")}},
		{"new source: the lake", service.Notice{Kind: service.NewSource, From: noted, Until: noted}},
		{"hydrants flushed on Tuesday", service.Notice{}},
		{"", service.Notice{}},
	} {
		got := noticesOf(c.words, noted)
		if c.want.Kind == "" && len(got) > 0 || c.want.Kind != "" && (len(got) != 1 || got[0] != c.want) {
			t.Errorf("%q: %+v, want %+v", c.words, got, c.want)
		}
	}
}

func FuzzNotices(f *testing.F) {
	f.Add("free chlorine 2026-13-45 99 weeks")
	f.Fuzz(func(t *testing.T, words string) {
		for _, n := range noticesOf(words, 20_000) {
			if n.Until < n.From {
				t.Errorf("%q: %+v", words, n)
			}
		}
	})
}
