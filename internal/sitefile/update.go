package sitefile

import (
	"rinsewright/quantity"
	"rinsewright/site"
)

// Update is Write for a file that is there.
func Update(data []byte, s *site.Site, loc quantity.Locale) []byte {
	return Write(s, loc)
}
