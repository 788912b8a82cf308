package web

import (
	"encoding/json"
	"regexp"
	"slices"

	"rinsewright/internal/say"
)

// saidInScript is a sentence that a script says.
var saidInScript = regexp.MustCompile(`\bsaid\(("(?:[^"\\]|\\.)*")`)

// scriptSentences are those that the scripts of the pages say.
func scriptSentences() (all []string) {
	for _, script := range []string{appScript, photoScript, phoneScript, readingScript, draftScript, roadScript, keysScript, surveyScript, trendsScript, startUpScript, whatIfScript} {
		for _, m := range saidInScript.FindAllStringSubmatch(script, -1) {
			var sentence string
			if err := json.Unmarshal([]byte(m[1]), &sentence); err == nil {
				all = append(all, sentence)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// wordsOf names the file of a language's sentences for scripts.
func wordsOf(language string) string { return "words-" + language + ".js" }

// scriptWords are the sentences of the scripts in a language, as a script.
func scriptWords(speaker *say.Speaker) string {
	words := map[string]string{}
	for _, sentence := range scriptSentences() {
		if said, ok := speaker.Find(sentence); ok {
			words[sentence] = said
		}
	}
	text, err := json.Marshal(words)
	if err != nil { // a map of texts
		return ""
	}
	return "\"use strict\";\nconst sentences = " + string(text) + ";\n"
}
