package study

import "strings"

// Appointment is one dated piece of work for a calendar.
type Appointment struct {
	Site, Title string
	From, By    string // ISO 8601 days, both included
	Says        string
	// Key tells one from others of a site, where that is not title and year.
	Key string
}

// Appointments are the tasks of a season as a calendar holds them.
func Appointments(place string, tasks []SeasonTask) (all []Appointment) {
	for _, t := range tasks {
		says := "Why: " + t.Why + "\n"
		for _, c := range t.Cautions {
			says += "Take care: " + c + "\n"
		}
		for _, d := range t.Do {
			says += "- " + d + "\n"
		}
		if len(t.Parts) > 0 {
			says += "Bring: " + strings.Join(t.Parts, ", ")
		}
		all = append(all, Appointment{Site: place, Title: t.Title, From: t.From, By: t.By, Says: strings.TrimSpace(says)})
	}
	return all
}
