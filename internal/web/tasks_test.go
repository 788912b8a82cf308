package web

import (
	"os"
	"path/filepath"
	"testing"

	"rinsewright/internal/store"
	"rinsewright/testdata/sites"
)

// Each test is one thing a person does, in a real browser.

func TestBeginAndWalkRound(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.open("/")
	p.sees("The first account is made with the setup link")
	p.walksRound()
	p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
	p.ask(`document.querySelectorAll(".sites .mini svg").length === 5`)
	// Bay 3 of Fennel Lane spots today, so it comes before what is only due.
	p.ask(`document.querySelector(".sites li").innerText.includes("Fennel Lane")`)
	p.types("#q", "REACH")
	p.sees("1 to 1 of 1")
	p.ask(`document.querySelectorAll(".sites li").length === 1 && location.search === ""`)
	p.open("/")
	p.presses("Cormorant Reach")
	p.sees("A bottle of resin lasts")
	p.sees("125 mg/L of carbon dioxide")
	p.sees("13 June 2026")
	p.open("/")
	p.presses("Clear the practice sites")
	p.sees("No sites yet")
}

func TestSurveyFromANameToACheck(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.open("/sites/new")
	p.types("#name", "Gull Point")
	p.presses("Begin")
	p.sees("Survey of Gull Point")
	p.sees("Nobody has read the raw water yet")
	// The sheet follows the typing, and what cannot be taken is said at once.
	p.chooses(`[name="sample.1.place"]`, "raw")
	p.types(`[name="sample.1.strength"]`, "290 ppm")
	p.types(`[name="sample.1.scale"]`, "NaCl")
	p.types(`[name="sample.1.hardness"]`, "9 gpm")
	p.waits(`document.querySelector("[data-wrong='sample.1.hardness']").innerText.includes("Wanted")`)
	p.waits(`document.querySelector("#sheet").innerText.includes("carbon dioxide")`)
	p.presses("Save the survey")
	p.sees("Nothing was saved yet: 1 field needs a look")
	p.ask(`document.querySelector("[name='sample.1.hardness']").value === "9 gpm" && document.querySelector("[name='sample.1.strength']").value === "290 ppm"`)
	p.types(`[name="sample.1.hardness"]`, "9 gpg")
	p.types(`[name="demand.normal_day"]`, "12")
	p.presses("Save the survey")
	p.sees("Saved.")
	p.presses("To the site")
	p.sees("No membrane and no resin yet")
	p.presses("To the survey")
	p.presses("Resin")
	p.types(`[name="resin.1.volume"]`, "1 ft3")
	p.presses("Save the survey")
	p.sees("Saved.")
	p.presses("To the site")
	p.sees("What matters")
	p.sees("raw water")
}

func TestReadingOnThePhone(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.open("/sites/" + s.siteID(t, "Cormorant") + "/reading")
	p.sees("last time 290 ppm")
	p.types(`[name="raw.value"]`, "8")
	p.types(`[name="permeate.value"]`, "300")
	p.sees("swapped?")
	p.types(`[name="raw.value"]`, "3oo")
	p.sees("Wanted")
	p.types(`[name="raw.value"]`, "300")
	p.types(`[name="permeate.value"]`, "8.5")
	p.waits(`!document.querySelector("#doubts .notice")`)
	p.chooses(`[name="polished.skipped"]`, "no access")
	p.presses("Keep the reading")
	p.sees("Sent")
	p.accessible("a reading that is sent")
	p.shot("reading-sent-380", 380)
	p.presses("To the site")
	p.sees("Strength: no access")
	p.sees("read 8.5 ppm")
	p.presses("Take a reading")
	p.sees("last time 300 ppm")
	p.sees("last time 8.5 ppm")
}

// A doubt does not stop a reading: the water is right.
func TestReadingThatLooksOddIsKeptWhenSomeoneSaysSo(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	p.open("/sites/" + site.ID + "/reading")
	p.types(`[name="raw.value"]`, "8 uS/cm")
	p.types(`[name="permeate.value"]`, "300 uS/cm")
	p.sees("swapped?")
	p.presses("Keep the reading")
	p.sees("swapped?")
	p.accessible("a reading that looks odd")
	p.shot("reading-odd-380", 380)
	p.presses("It is right, keep it")
	p.sees("Sent")
	samples, err := s.store.Samples(t.Context(), site.ID, 10)
	if err != nil || len(samples) != 2 {
		t.Fatalf("%d samples, %v", len(samples), err)
	}
}

func TestSiteFileOutAndInAgain(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	file, err := sites.File("brightmere")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "brightmere.toml")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	p.open("/sites/new")
	p.do(upload("#file", path))
	p.presses("Bring it in")
	p.sees("Content hash " + store.Hash(string(file))[:12])
	p.open("/sites/new")
	p.types("#text", "rinsewright = 1\n[site]\ncolour = 3\n")
	p.presses("Bring it in")
	p.sees("This is not a site file yet")
	p.sees(`the key "colour" in [site]`)
}

func TestPeopleAndSettings(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.open("/people")
	p.types("#name", "Jo")
	p.types("#login", "jo")
	p.types("#password", "short")
	p.presses("Add")
	p.sees("At least 10 characters")
	p.types("#password", "wax on, wax off")
	p.presses("Add")
	p.waits(`document.querySelectorAll(".people li").length === 2`)
	p.open("/settings")
	p.ask(`(() => { document.querySelector("form[action='/settings'] [value=si]").click(); return true })()`)
	p.presses("Save for everyone")
	p.sees("Saved.")
	p.presses("Audit")
	p.sees("Every entry fits the one before it")
	p.sees("setting set")
	p.presses("Sign out")
	p.sees("Short name")
	p.types("#login", "JO")
	p.types("#password", "wax on, wax off")
	p.presses("Sign in")
	p.sees("No sites yet")
	p.ask(`!document.querySelector("nav").innerText.includes("People")`)
	p.open("/people")
	p.sees("Your role does not allow this")
}

// Two people change one survey: different fields both stay, the same field is
// shown in both versions.
func TestTwoPeopleOneSurvey(t *testing.T) {
	s := serving(t)
	p, other := visits(t, s, 1440), visits(t, s, 1440)
	p.begins()
	site := s.gullPoint(t)
	other.signsIn("kit")
	other.sees("Gull Point")
	page := "/sites/" + site.ID + "/survey"
	p.open(page)
	other.open(page)
	other.types(`[name="supply.static_pressure"]`, "60 psi")
	other.types(`[name="supply.coldest"]`, "6 C")
	other.presses("Save the survey")
	other.sees("Saved.")
	p.types(`[name="supply.static_pressure"]`, "55 psi")
	p.types(`[name="supply.warmest"]`, "20 C")
	p.presses("Save the survey")
	// What the other has not touched is saved, what both have stays in both.
	p.sees("Somebody else had changed the same")
	p.sees("The water as it arrives: static pressure")
	p.ask(`["60 psi", "55 psi", "saved by Kit"].every(x => document.querySelector(".card").innerText.includes(x))`)
	p.ask(`document.querySelector("[name='supply.static_pressure']").value === "60 psi" && document.querySelector("[name='supply.coldest']").value === "6 C" && document.querySelector("[name='supply.warmest']").value === "20 C"`)
	p.accessible("a survey in two versions")
	p.shot("survey-versions-1440", 1440)
	p.open("/")
	p.sees("One thing waits here in two versions")
	p.presses("Look and choose")
	p.sees("The water as it arrives: static pressure")
	p.presses("The later is right")
	p.sees("Nothing is here in two versions")
	p.open(page)
	p.ask(`document.querySelector("[name='supply.static_pressure']").value === "55 psi" && document.querySelector("[name='supply.coldest']").value === "6 C" && document.querySelector("[name='supply.warmest']").value === "20 C"`)

	// Both can stay: the record keeps the first, the story tells the second.
	other.types(`[name="supply.coldest"]`, "5 C")
	other.presses("Save the survey")
	other.sees("Saved.")
	p.types(`[name="supply.coldest"]`, "4 C")
	p.presses("Save the survey")
	p.presses("Keep both, the later in the story")
	p.waits(`document.querySelector("[name='supply.coldest']")?.value === "5 C" && !document.querySelector(".card")`)
	p.open("/sites/" + site.ID)
	p.sees("coldest: 4 C, kept beside 5 C")
}
