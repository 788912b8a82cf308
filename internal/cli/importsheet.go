package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"rinsewright/internal/sitefile"
	"rinsewright/site"
)

// log is the table, if it is a log sheet.
func (c ImportCommand) log() (text string, ok bool) {
	info, err := os.Stat(c.File)
	if err != nil || info.Size() > largestTable {
		return "", false // read tells what is wrong
	}
	data, err := os.ReadFile(c.File)
	if err != nil || !sitefile.IsLogSheet(string(data)) {
		return "", false
	}
	return string(data), true
}

// importLog adds the visits of a log sheet to the site file.
func (c ImportCommand) importLog(desk Desk, data []byte, s *site.Site, text string) error {
	locale := sitefile.Locale(data)
	locale.DecimalComma = c.Decimal == "comma"
	visits, err := sitefile.ReadLogSheet(filepath.Base(c.File), text, locale)
	if err != nil {
		return c.refuse(desk, bad(err, ""))
	}
	s.Log = append(s.Log, visits...)
	updated := sitefile.Update(data, s, sitefile.Locale(data))
	if _, err := sitefile.Read(filepath.Base(c.Site), updated); err != nil {
		return c.refuse(desk, bad(fmt.Errorf("add visits: %w", err), ""))
	}
	if !c.DryRun {
		if err := writeWhole(c.Site, updated); err != nil {
			return c.refuse(desk, bad(err, ""))
		}
	}
	_, err = fmt.Fprintf(desk.Out, "%s of %s\n", counts(len(visits), "visit"), filepath.Base(c.File))
	return err
}

func counts(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}
