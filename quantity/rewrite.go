package quantity

// Rewrite returns text that was written for from as it is written for to: the
// decimal and group marks of its numbers change places, all else stays. A mark
// is a comma or point with a digit behind it. Text that a locale reads as some
// number, the other reads as the same number after it was rewritten.
func Rewrite(text string, from, to Locale) string {
	if from == to {
		return text
	}
	b := []byte(text)
	for i := 0; i+1 < len(b); i++ {
		if !('0' <= b[i+1] && b[i+1] <= '9') {
			continue
		}
		switch b[i] {
		case ',':
			b[i] = '.'
		case '.':
			b[i] = ','
		}
	}
	return string(b)
}
