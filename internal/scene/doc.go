// Package scene draws: one model of shapes that becomes SVG on the page and
// vectors on paper. Shapes carry roles (ink, water, rust), never colours, so
// one drawing serves light, dark, print and black and white.
//
// [Path] is the picture that runs through everything: the water's way from
// the tap to the gun. [Bars], [Band], [Months], [Profile] and [Curves] are the
// charts beside it. Each has a Draw method that gives a [Drawing]; [Drawing.SVG] writes it.
//
// Lengths are user units: one unit is one CSS pixel when the drawing is shown
// at its own width. x grows to the right and y grows down.
//
// What a drawing promises:
//
//   - The same input gives the same bytes.
//   - No two texts overlap and none leaves the drawing, as far as [TextWidth]
//     can tell: texts are wrapped, then shortened, and a shortened text keeps
//     its full wording for the pointer and the screen reader.
//   - Nothing typed by a person reaches the SVG unescaped; there are no
//     scripts, style attributes or references to anything outside.
//   - State is a word and a shape before it is a colour.
//
// Symbols are the simple shapes of the open standards for flow diagrams
// [ISO10628] and [ISO14617]; chart colours are the set of [OkabeIto2008];
// contrast follows [WCAG22].
//
// Sources:
//
//	[ISO10628]     ISO 10628-2:2012, graphical symbols for flow diagrams
//	[ISO14617]     ISO 14617:2002, graphical symbols for diagrams
//	[OkabeIto2008] Okabe and Ito, Color universal design, 2008
//	[WCAG22]       W3C, Web Content Accessibility Guidelines 2.2, 2023
package scene
