package web

import "testing"

// Without signal the survey is filled in, the sheet follows the typing, and
// what was typed stays on the phone until the office has it.
func TestSurveyWithoutSignal(t *testing.T) {
	s, network := serving(t).withEngine(t).patchy(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	page := "/sites/" + site.ID + "/survey"
	p.open("/")
	p.waits(`!!navigator.serviceWorker.controller`)
	p.waitsFor(`caches.match(document.documentElement.dataset.wasm).then(x => !!x)`)
	p.open(page)
	p.sees("Nobody has read the raw water yet")

	network.set(cut)
	p.open(page)
	p.chooses(`[name="sample.1.place"]`, "raw")
	p.types(`[name="sample.1.strength"]`, "290 ppm")
	p.types(`[name="sample.1.scale"]`, "NaCl")
	p.types(`[name="sample.1.hardness"]`, "9 gpm")
	p.waits(`document.querySelector("[data-wrong='sample.1.hardness']").innerText.includes("Wanted")`)
	p.types(`[name="sample.1.hardness"]`, "9 gpg")
	p.sees("The one reading that would help most")
	p.waits(`document.querySelector("#sheet").innerText.includes("carbon dioxide") && document.querySelector("form.survey").dataset.by === "this browser"`)
	p.accessible("a survey without signal")
	p.shot("survey-offline-380", 380)
	p.sees("1 on this phone")
	p.presses("Save the survey")
	p.sees("There is no signal. It is on this phone, and sent by itself")

	p.open(page) // as if the phone had been put away
	p.sees("On this phone since")
	p.ask(`document.querySelector("[name='sample.1.hardness']").value === "9 gpg" && document.querySelector("[name='sample.1.place']").value === "raw"`)
	p.open("/phone")
	p.sees("survey: 4 changes")
	p.sees("1 on this phone")
	p.accessible("a survey that waits")

	// With signal it goes by itself, from whatever page is open.
	network.set(clear)
	p.waits(`document.querySelector("#unsent").hidden && document.querySelector("#queue .state").textContent === "sent"`)
	p.open(page)
	p.ask(`document.querySelector("[name='sample.1.strength']").value === "290 ppm" && document.querySelector("[name='sample.1.hardness']").value === "9 gpg" && document.querySelector("#draft").hidden`)
}

// A survey that was sent by itself after somebody else has changed the same is
// there in both versions, and the rest of it is saved.
func TestSurveyFromThePhoneMeetsAnother(t *testing.T) {
	s := serving(t)
	office := visits(t, s, 1440)
	s, network := s.patchy(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	page := "/sites/" + site.ID + "/survey"
	p.open("/phone")
	p.waits(`!!navigator.serviceWorker.controller`)
	p.open(page)
	p.waitsFor(`caches.match(location.pathname).then(x => !!x)`)
	office.signsIn("kit")
	network.set(cut)
	p.open(page)
	p.types(`[name="supply.static_pressure"]`, "55 psi")
	p.types(`[name="supply.warmest"]`, "20 C")
	p.presses("Save the survey")
	p.sees("There is no signal")
	office.open(page)
	office.types(`[name="supply.static_pressure"]`, "60 psi")
	office.presses("Save the survey")
	office.sees("Saved.")
	p.open("/phone")
	network.set(clear)
	p.waits(`document.querySelector("#queue .state").textContent === "two versions" && document.querySelector("#unsent").hidden`)
	office.open(page)
	office.sees("The water as it arrives: static pressure")
	office.ask(`document.querySelector("[name='supply.static_pressure']").value === "60 psi" && document.querySelector("[name='supply.warmest']").value === "20 C"`)
	office.ask(`document.querySelector(".card").innerText.includes("55 psi")`)
}

// The sheet that the browser makes is the one that the server makes.
func TestTheSheetIsTheSameWithoutSignal(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.open("/sites/" + s.siteID(t, "Cormorant") + "/survey")
	words := `document.querySelector("#sheet").innerText.replace(/\s+/g, " ").trim()`
	p.ask(`(() => { window.before = ` + words + `; return before.length > 200 })()`)
	p.ask(`(() => { document.querySelector("form.survey").dispatchEvent(new Event("nosignal")); return true })()`)
	p.waits(`document.querySelector("form.survey").dataset.by !== undefined && before === ` + words)
}

// What was typed and not saved can be forgotten.
func TestADraftIsForgotten(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.walksRound()
	page := "/sites/" + s.siteID(t, "Cormorant") + "/survey"
	p.open(page)
	p.types(`[name="supply.static_pressure"]`, "70 psi")
	p.waitsFor(`new Promise((yes) => { const a = indexedDB.open("rinsewright-drafts", 1); a.onsuccess = () => { const g = a.result.transaction("surveys").objectStore("surveys").getAll(); g.onsuccess = () => { a.result.close(); yes(g.result.some((d) => d.set.some(([k, v]) => v === "70 psi"))) } }; a.onerror = () => yes(false) })`)
	p.open(page)
	p.sees("On this phone since")
	p.presses("Forget it")
	p.waits(`document.querySelector("#draft").hidden && document.querySelector("[name='supply.static_pressure']").value === "62 psi"`)
}
