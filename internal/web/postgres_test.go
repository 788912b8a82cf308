package web

import (
	"testing"

	"rinsewright/internal/store/storetest"
)

// What people do, on PostgreSQL: the pages ask the store and never the
// database, so these are the same tests over another address.
func TestThePagesOnPostgreSQL(t *testing.T) {
	server := storetest.StartPostgres(t)
	sqlite := freshDatabase
	freshDatabase = server.Database
	defer func() { freshDatabase = sqlite }()
	for name, test := range map[string]func(*testing.T){
		"reading without signal":     TestReadingWithoutSignalArrivesOnce,
		"who may do what":            TestWhoMayDoWhat,
		"export and import":          TestExportAndImportKeepTheContentHash,
		"a form twice":               TestAFormSentTwiceIsKeptOnce,
		"everyone's own way":         TestEveryoneReadsTheirOwnWay,
		"prices":                     TestPricesAreChangedWhereTheyStand,
		"photos":                     TestAPhotoArrivesInPiecesAndOnce,
		"programs are answered":      TestEveryRouteAnswersAsDescribed,
		"a change with a key":        TestAChangeWithAKeyIsMadeOnce,
		"edits name their state":     TestAnEditNamesTheStateItWasMadeFrom,
		"pages of lists":             TestListsAreReadPageByPage,
		"typed text is never markup": TestTypedTextIsNeverMarkup,
	} {
		t.Run(name, test)
	}
}
