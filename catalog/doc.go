// Package catalog holds generic parts of a rinse system: nominal sizes, typical
// data-sheet values and invented prices, none of them a brand's. The list is a
// table that a person can edit in a spreadsheet; each cell carries its unit.
//
// A [Catalogue] is read from bytes ([Read]), or is the built-in one ([Generic]),
// whose text ([Text]) is the place to begin a list of one's own.
//
// Limits: typical values stand for a size, not for a product. Before anything
// is bought, put the data sheet's numbers and the supplier's prices in.
//
// Sources: [CatalogTypical] typical values of the trade by nominal size.
package catalog
