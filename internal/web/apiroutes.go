package web

import (
	"net/http"

	"rinsewright/internal/store"
)

var pageAsks = []apiAsk{
	{"limit", "integer", "How many at most, 1 to 200; 50 when not given.", "50"},
	{"after", "string", "Where the page before ended, as its next said.", ""},
}

const exampleSite = "rinsewright = 1\n\n[site] # invented\nname = \"Gull Point\"\nuse = \"boats\"\n"

const exampleSamples = `{"samples":[{"place":"permeate","taken":"2026-06-13T09:30:00-04:00","readings":[{"name":"strength","value":"9 ppm"},{"name":"scale","value":"NaCl"}]},` +
	`{"place":"rig","taken":"2026-06-13T09:30:00-04:00","readings":[{"name":"permeate_flow","value":"1.1 gpm"},{"name":"tank_level","value":"60 %"}]}]}`

// apiRoutes is every way in for programs.
func apiRoutes() []apiRoute {
	read, log, write, own := store.ReadScope, store.LogScope, store.WriteScope, store.OwnScope
	routes := []apiRoute{
		{pattern: "GET /api/v1/openapi.json", scope: openToAll, name: "describe", says: "This description.", status: 200, gives: apiBody{kind: jsonKind, of: map[string]any{}}, do: (*visit).apiDescription},
		{pattern: "GET /api/v1/problems/{code}", scope: openToAll, name: "aboutProblem", says: "Tell what a problem's code means.", status: 200, gives: apiBody{kind: jsonKind, of: map[string]string{}}, do: (*visit).apiAbout},

		{pattern: "GET /api/v1/sites", scope: read, name: "listSites", says: "List the sites, in the order they came.", asks: pageAsks, status: 200, gives: apiBody{kind: jsonKind, of: apiSites{}}, do: (*visit).apiListSites},
		{pattern: "POST /api/v1/sites", scope: write, name: "addSite", says: "Keep a site file as it comes, to the letter. One that is there already is answered with 200.", sends: apiBody{tomlKind, nil, exampleSite}, status: 201, gives: apiBody{kind: jsonKind, of: apiSite{}}, etag: true, do: (*visit).apiAddSite},
		{pattern: "GET /api/v1/sites/{id}", scope: read, name: "getSite", says: "Tell of a site without its file.", status: 200, gives: apiBody{kind: jsonKind, of: apiSite{}}, etag: true, do: (*visit).apiSite},
		{pattern: "PATCH /api/v1/sites/{id}", scope: write, name: "changeSite", says: "Set fields of the survey by their names in the site file, each with its unit, decimals with a point; an empty text forgets one. The rest of the file stays to the letter.", sends: apiBody{jsonKind, map[string]string{}, `{"site.about":"north pier","demand.normal_day":"12"}`}, status: 200, gives: apiBody{kind: jsonKind, of: apiSite{}}, etag: true, match: true, do: (*visit).apiChangeSite},
		{pattern: "DELETE /api/v1/sites/{id}", scope: own, name: "removeSite", says: "Take a site off the list. Its record and what was logged stay in the database.", status: 204, do: (*visit).apiRemoveSite},
		{pattern: "GET /api/v1/sites/{id}/file", scope: read, name: "getSiteFile", says: "Hand out the site file as it is kept, to the letter.", status: 200, gives: apiBody{kind: tomlKind}, etag: true, do: (*visit).apiSiteFile},
		{pattern: "PUT /api/v1/sites/{id}/file", scope: write, name: "saveSiteFile", says: "Keep a new text of the site file.", sends: apiBody{tomlKind, nil, exampleSite + "about = \"north pier\"\n"}, status: 200, gives: apiBody{kind: jsonKind, of: apiSite{}}, etag: true, match: true, do: (*visit).apiSaveSite},

		{pattern: "GET /api/v1/sites/{id}/samples", scope: read, name: "listSamples", says: "List what was logged on pages and by programs, the latest first; corrected samples are there too.", asks: pageAsks, status: 200, gives: apiBody{kind: jsonKind, of: apiSamples{}}, do: (*visit).apiListSamples},
		{pattern: "POST /api/v1/sites/{id}/samples", scope: log, name: "logSamples", says: "Log up to 100 samples. Each has a receipt; with an id of your own (UUID version 7) the same sample sent again is answered as kept.", sends: apiBody{jsonKind, apiBatch{}, exampleSamples}, status: 200, gives: apiBody{kind: jsonKind, of: apiReceipts{}}, do: (*visit).apiLog},
		{pattern: "POST /api/v1/sites/{id}/log/import", scope: write, name: "importLog", says: oldLog.says, asks: oldLog.asks(), sends: apiBody{csvKind, nil, "date,permeate_strength\n2026-05-02,9 ppm NaCl\n"}, status: 200, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, do: oldLog.apiImport},
		{pattern: "POST /api/v1/sites/{id}/log/undo", scope: write, name: "undoLog", says: "Take the last entry of the site file's log back, or the whole last import.", status: 200, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, do: (*visit).apiUndo},
		{pattern: "POST /api/v1/sites/{id}/analysis", scope: write, name: "importAnalysis", says: analysis.says, asks: analysis.asks(), sends: apiBody{csvKind, nil, "sample,date,calcium mg/L\nWell 2,2026-05-02,80\n"}, status: 200, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, do: analysis.apiImport},
		{pattern: "GET /api/v1/versions", scope: read, name: "listVersions", says: "List samples that came twice under one id with other content, until somebody chooses.", status: 200, gives: apiBody{kind: jsonKind, of: apiVersions{}}, do: (*visit).apiListVersions},
		{pattern: "POST /api/v1/versions/{id}", scope: write, name: "settleVersion", says: "Choose between two versions of a sample.", sends: apiBody{jsonKind, apiChoice{}, `{"choice":"both"}`}, status: 204, do: (*visit).apiSettle},
		{pattern: "GET /api/v1/sites/{id}/photos", scope: read, name: "listPhotos", says: "List the photos of a site, the latest first.", status: 200, gives: apiBody{kind: jsonKind, of: apiPhotos{}}, do: (*visit).apiListPhotos},
		{pattern: "POST /api/v1/sites/{id}/photos", scope: log, name: "addPhoto", says: "Add a photo, at most 4 MB. It is made anew, so that nothing but its pixels is kept; the same one sent again is kept once.", asks: []apiAsk{{"words", "string", "What it shows.", "the label of the pump"}, {"taken", "string", "When it was taken.", "2026-06-13T09:30:00Z"}}, sends: apiBody{kind: "image/jpeg"}, status: 201, gives: apiBody{kind: jsonKind, of: apiPhoto{}}, do: (*visit).apiAddPhoto},
		{pattern: "GET /api/v1/photos/{kept}", scope: read, name: "getPhoto", says: "Hand out a photo.", status: 200, gives: apiBody{kind: "image/jpeg"}, do: (*visit).pictureFile},
		{pattern: "GET /api/v1/sites/{id}/papers/{file}", scope: read, name: "getPaper", says: "Make a paper to hand over, such as quote.pdf, parts.xlsx or calendar.ics. One that makes an offer may take minutes.", asks: []apiAsk{{"language", "string", "en or es.", "en"}, {"size", "string", "letter or a4.", "a4"}, {"option", "string", "Letter of the option that it is about.", ""}, {"from", "string", "Who hands it over.", ""}, {"for", "string", "For whom.", ""}, {"by", "string", "Who made it.", ""}}, status: 200, gives: apiBody{kind: "application/pdf"}, do: (*visit).apiPaper},

		{pattern: "GET /api/v1/parts", scope: read, name: "getParts", says: "Hand out the list of parts and prices, to the letter.", status: 200, gives: apiBody{kind: csvKind}, etag: true, do: (*visit).apiParts},
		{pattern: "PUT /api/v1/parts", scope: write, name: "saveParts", says: "Keep a new list of parts and prices.", sends: apiBody{kind: csvKind}, status: 204, etag: true, match: true, do: (*visit).apiSaveParts},
		{pattern: "GET /api/v1/trips", scope: read, name: "trips", says: tripsVerb.says, asks: tripsVerb.flags, status: 200, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, do: (*visit).apiTrips},

		{pattern: "GET /api/v1/settings", scope: read, name: "getSettings", says: "Tell the settings of everyone.", status: 200, gives: apiBody{kind: jsonKind, of: map[string]string{}}, do: (*visit).apiSettings},
		{pattern: "PATCH /api/v1/settings", scope: own, name: "setSettings", says: "Set settings of everyone.", sends: apiBody{jsonKind, map[string]string{}, `{"units":"si"}`}, status: 200, gives: apiBody{kind: jsonKind, of: map[string]string{}}, do: (*visit).apiSetSettings},
		{pattern: "PUT /api/v1/settings/mine", scope: write, name: "setMine", says: "Set how the person who made the token reads units and writes decimals.", sends: apiBody{jsonKind, apiMine{}, `{"units":"si","decimal":"comma"}`}, status: 204, do: (*visit).apiSetMine},
		{pattern: "GET /api/v1/people", scope: own, name: "listPeople", says: "List everyone with an account.", status: 200, gives: apiBody{kind: jsonKind, of: apiPeople{}}, do: (*visit).apiListPeople},
		{pattern: "POST /api/v1/people", scope: own, name: "addPerson", says: "Add somebody.", sends: apiBody{jsonKind, apiNewPerson{}, `{"login":"toni","name":"Toni","role":"tech","password":"a dry panel shines"}`}, status: 201, gives: apiBody{kind: jsonKind, of: apiPerson{}}, do: (*visit).apiAddPerson},
		{pattern: "PUT /api/v1/people/{id}", scope: own, name: "changePerson", says: "Set somebody's role, whether they are gone and, if given, their password.", sends: apiBody{jsonKind, apiPersonChange{}, `{"role":"read-only","gone":false}`}, status: 204, do: (*visit).apiChangePerson},
		{pattern: "GET /api/v1/tokens", scope: own, name: "listTokens", says: "List the tokens, the ended as well.", status: 200, gives: apiBody{kind: jsonKind, of: apiTokens{}}, do: (*visit).apiListTokens},
		{pattern: "POST /api/v1/tokens", scope: own, name: "addToken", says: "Make a token, which is shown in this answer and never again.", sends: apiBody{jsonKind, apiNewToken{}, `{"name":"gauge in the shed","scopes":["read","log"],"days":90}`}, status: 201, gives: apiBody{kind: jsonKind, of: apiToken{}}, do: (*visit).apiAddToken},
		{pattern: "DELETE /api/v1/tokens/{id}", scope: own, name: "endToken", says: "End a token.", status: 204, do: (*visit).apiEndToken},
		{pattern: "GET /api/v1/audit", scope: own, name: "listAudit", says: "List who changed what, the oldest first; each entry holds the hash of the one before.", asks: pageAsks, status: 200, gives: apiBody{kind: jsonKind, of: apiAudit{}}, do: (*visit).apiAudit},
		{pattern: "POST /api/v1/practice", scope: write, name: "addPractice", says: "Bring in the practice sites.", status: 204, do: (*visit).apiPractice},
		{pattern: "DELETE /api/v1/practice", scope: write, name: "clearPractice", says: "Take the practice sites off the list.", status: 204, do: (*visit).apiClearPractice},
	}
	for _, q := range verbs {
		routes = append(routes,
			apiRoute{pattern: "GET /api/v1/sites/{id}/" + q.name, scope: read, name: q.name, says: q.says, asks: q.flags, status: http.StatusOK, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, etag: true, do: q.apiAnswer},
			apiRoute{pattern: "POST /api/v1/" + q.name, scope: read, name: q.name + "OfFile", says: q.says + " The site file is sent and not kept.", asks: q.flags, sends: apiBody{kind: tomlKind}, status: http.StatusOK, gives: apiBody{kind: jsonKind, of: engineAnswer{}}, do: q.apiAsk},
		)
	}
	return routes
}

// engineAnswer is what every answer of the engine has: the command line prints
// the same, and docs/reference/schema holds the schema of each.
type engineAnswer struct {
	Schema string `json:"schema"`
}
