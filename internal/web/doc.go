// Package web is the pages: one face of package study. It serves html without
// inline script or style from what is embedded in the program, asks the store
// for what is kept and study for what it means, and fetches nothing from
// outside.
//
// Every way in stands in one table, [routes], with the role it needs. Pages
// work without script; a few lines of it keep the water sheet beside the
// survey, and the filter of the list, up to date while someone types.
package web
