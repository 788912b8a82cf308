// Package say is the one catalogue of what this program says: the English
// sentence is the key, and the catalogue holds it in the other languages. Pages,
// their scripts, papers and the command line all ask it.
//
// Engine and pages write whole English sentences with values put in. A sentence
// is found as it stands, or by its shape: a key may hold %s (words, found in
// turn), %d or %f (a number with or without its unit), and fits what was filled
// in. In a page's template nothing marks what is translated: package marked turns
// every text of it, and every value shown as text, into the language; what
// people wrote themselves is marked with the function own and is left alone.
//
// How to add a sentence: docs/howto/add-a-sentence.md.
package say
