package web

import "rinsewright/internal/store"

// may is who may use a route.
type may int

// Everyone is let in without an account; the others need the role or a
// stronger one. Nobody is what a rule left out means.
const (
	nobody may = iota
	everyone
	readers
	techs
	owners
)

// strength orders the roles.
var strength = map[store.Role]may{store.Reader: readers, store.Tech: techs, store.Owner: owners}

// route is one way in.
type route struct {
	pattern string
	may     may
	do      func(*visit) error
}

// routes is every way in.
func routes() []route {
	return []route{
		{"GET /healthz", everyone, (*visit).health},
		{"GET /readyz", everyone, (*visit).ready},
		{"GET /metrics", everyone, (*visit).watched}, // asks for a token itself
		{"GET /assets/{name}", everyone, (*visit).asset},
		{"GET /engine/{name}", everyone, (*visit).engineFile},
		{"GET /sw.js", everyone, (*visit).worker},
		{"GET /manifest.webmanifest", everyone, (*visit).manifest},
		{"GET /phone", everyone, (*visit).phone},
		{"GET /setup", everyone, (*visit).setupPage},
		{"POST /setup", everyone, (*visit).setup},
		{"GET /sign-in", everyone, (*visit).signInPage},
		{"POST /sign-in", everyone, (*visit).signIn},
		{"GET /sign-in/code", everyone, (*visit).codePage},
		{"POST /sign-in/code", everyone, (*visit).code},
		{"POST /sign-in/passkey/begin", everyone, (*visit).beginPasskeySignIn},
		{"POST /sign-in/passkey", everyone, (*visit).passkeySignIn},
		{"GET /welcome", everyone, (*visit).welcomePage},
		{"POST /welcome", everyone, (*visit).welcome},
		{"POST /sign-out", readers, (*visit).signOut},

		{"GET /account", readers, (*visit).account},
		{"POST /account/password", readers, (*visit).setPassword},
		{"POST /account/step/begin", readers, (*visit).offerStep},
		{"POST /account/step", readers, (*visit).confirmStep},
		{"POST /account/step/off", readers, (*visit).endStep},
		{"POST /account/passkeys/begin", readers, (*visit).beginPasskey},
		{"POST /account/passkeys", readers, (*visit).addPasskey},
		{"POST /account/passkeys/{passkey}/end", readers, (*visit).endPasskey},

		{"GET /{$}", readers, (*visit).sites},
		{"POST /practice", techs, (*visit).practice},
		{"POST /practice/clear", techs, (*visit).clearPractice},
		{"GET /sites/new", techs, (*visit).newSitePage},
		{"POST /sites/new", techs, (*visit).newSite},
		{"POST /sites/import", techs, (*visit).importSite},
		{"GET /sites/{id}", readers, (*visit).site},
		{"GET /sites/{id}/import", techs, (*visit).importPage},
		{"POST /sites/{id}/import", techs, (*visit).importTable},
		{"GET /sites/{id}/export", readers, (*visit).exportSite},
		{"GET /sites/{id}/survey", readers, (*visit).surveyPage},
		{"POST /sites/{id}/survey", techs, (*visit).survey},
		{"POST /sites/{id}/sheet", readers, (*visit).sheet},
		{"GET /sites/{id}/reading", techs, (*visit).readingPage},
		{"POST /sites/{id}/reading", techs, (*visit).reading},
		{"POST /sites/{id}/doubts", techs, (*visit).doubts},
		{"GET /sites/{id}/what-if", readers, (*visit).whatIf},
		{"GET /sites/{id}/trends", readers, (*visit).trends},
		{"GET /sites/{id}/trends.csv", readers, (*visit).trendsTable},
		{"GET /sites/{id}/tracked.csv", readers, (*visit).trackedTable},
		{"GET /sites/{id}/sizing", readers, (*visit).sizingPage},
		{"POST /sites/{id}/sizing", readers, (*visit).size},
		{"GET /sites/{id}/papers", readers, (*visit).papersPage},
		{"GET /sites/{id}/papers/{file}", readers, (*visit).paperFile},
		{"POST /sites/{id}/papers/{file}", techs, (*visit).issuePaper},
		{"GET /sites/{id}/issued/{paper}/{letter}", readers, (*visit).issuedPaper},
		{"GET /sites/{id}/first-day", readers, (*visit).startUpPage},
		{"POST /sites/{id}/first-day", techs, (*visit).sign},
		{"POST /sites/{id}/verdict", techs, (*visit).verdict},
		{"GET /sites/{id}/faults", readers, (*visit).faultsPage},
		{"POST /answer", readers, (*visit).answerQuestion},
		{"POST /sites/{id}/photos", techs, (*visit).photo},
		{"POST /sites/{id}/photos/{photo}/{n}", techs, (*visit).photoPiece},
		{"GET /photos/{kept}", readers, (*visit).pictureFile},
		{"POST /sites/{id}/remove", owners, (*visit).removeSite},

		{"GET /versions", readers, (*visit).versions},
		{"POST /versions/{id}", techs, (*visit).settle},
		{"POST /fields/{id}", techs, (*visit).settleField},
		{"POST /unsent", techs, (*visit).bringUnsent},

		{"GET /parts", readers, (*visit).parts},
		{"POST /parts", techs, (*visit).setPrices},
		{"GET /parts/export", readers, (*visit).exportParts},
		{"POST /parts/import", techs, (*visit).importParts},
		{"GET /parts/{row}", techs, (*visit).partPage},
		{"POST /parts/{row}", techs, (*visit).setPart},

		{"GET /trips", readers, (*visit).trips},
		{"POST /trips/told", techs, (*visit).tellTrips},
		{"POST /trips/calendar", readers, (*visit).setFeed},
		{"GET /calendar/{secret}", everyone, (*visit).calendarFeed},

		{"GET /people", owners, (*visit).people},
		{"POST /people", owners, (*visit).addPerson},
		{"POST /people/{id}", owners, (*visit).changePerson},
		{"POST /people/{id}/invite", owners, (*visit).invite},
		{"GET /tokens", owners, (*visit).tokens},
		{"POST /tokens", owners, (*visit).makeToken},
		{"POST /tokens/{id}", owners, (*visit).endToken},
		{"GET /phones", readers, (*visit).phones},
		{"GET /settings", readers, (*visit).settings},
		{"POST /settings/mine", readers, (*visit).setMine},
		{"POST /settings/device", readers, (*visit).setDevice},
		{"POST /settings", owners, (*visit).setSettings},
		{"GET /backup", owners, (*visit).backups},
		{"POST /backup", owners, (*visit).backUp},
		{"POST /backup/drill", owners, (*visit).drill},
		{"GET /backup/{name}", owners, (*visit).backupDownload},
		{"GET /audit", owners, (*visit).audit},
		{"GET /help", readers, (*visit).help},
		{"GET /", readers, (*visit).nowhere},
	}
}
