package study

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"rinsewright/service"
)

// usualFreeWeeks is how long a utility sends free chlorine where the notice does
// not say. Source: [TradeDefaults], 3 to 10 weeks.
const usualFreeWeeks = 4

var (
	noticeDay   = regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)
	noticeWeeks = regexp.MustCompile(`(\d{1,2})\s*(?:weeks|week|wk)`)
)

// noticesOf reads what a utility announced, as it was noted on a day: weeks of
// free chlorine from the first day that stands in it (the day it was noted, if
// none) to the second, or for so many weeks; or another source. Words that tell
// neither tell nothing.
func noticesOf(words string, noted service.Day) []service.Notice {
	said := strings.ToLower(words)
	from, days := noted, noticeDay.FindAllString(said, 2)
	if len(days) > 0 {
		from = dayIn(days[0], noted)
	}
	switch {
	case strings.Contains(said, "free chlorine"):
		until := from + 7*usualFreeWeeks - 1
		if weeks := noticeWeeks.FindStringSubmatch(said); weeks != nil {
			if n, err := strconv.Atoi(weeks[1]); err == nil && n > 0 {
				until = from + service.Day(7*n) - 1
			}
		}
		if len(days) > 1 {
			until = max(dayIn(days[1], until), from)
		}
		return []service.Notice{{Kind: service.FreeWeeks, From: from, Until: until}}
	case strings.Contains(said, "source"), strings.Contains(said, "new well"), strings.Contains(said, "blend"), strings.Contains(said, "desalinat"):
		return []service.Notice{{Kind: service.NewSource, From: from, Until: from}}
	}
	return nil
}

func dayIn(text string, otherwise service.Day) service.Day {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return otherwise
	}
	return service.DayOf(t)
}
