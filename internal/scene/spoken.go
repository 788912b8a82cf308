package scene

import (
	"fmt"
	"math"
	"strings"
)

// sentence gives text with its first letter as a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (p Path) spokenTitle() string {
	if p.Title == "" {
		return "The water's path"
	}
	return p.Title
}

// spoken says the whole drawing in words, station by station, for a person
// who cannot see it.
func (p Path) spoken(style Style) string {
	var b strings.Builder
	if p.Subtitle != "" {
		b.WriteString(p.Subtitle + ". ")
	}
	scale := p.flowScale(style, 1)
	say := func(format string, args ...any) { fmt.Fprintf(&b, style.say(format), args...) }
	say("%d stations from the tap to the gun.", len(p.Stations))
	for i, s := range p.Stations {
		fmt.Fprintf(&b, " %d, %s: %s", i+1, s.Name, s.wording())
		if s.hasVessel() && s.State != NotKnown && !math.IsNaN(s.Fill) {
			say(", %.0f %% left", s.Fill*100)
		}
		if len(s.Read) > 0 {
			say("; read %s", strings.Join(s.Read, ", "))
		}
		if len(s.Due) > 0 {
			say("; promised or due %s", strings.Join(s.Due, ", "))
		}
		if s.Binds {
			say("; what binds")
		}
		if s.Suspect {
			say("; suspect %s", s.Why)
		}
		b.WriteString(".")
	}
	if p.Drain != nil {
		b.WriteString(" ")
		say("To drain after %s: %s.", p.Stations[p.drainAt()].Name, strings.Join(append([]string{scale.words(p.Drain.LitresPerDay)}, p.Drain.Notes...), ", "))
	}
	return strings.TrimSpace(b.String())
}
