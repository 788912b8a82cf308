// Package door answers what a page asks while someone changes numbers: the
// path as it would be, the same with its bands, and the water sheet beside the
// survey. A question is the text of a site file and what was changed in it, an
// answer is ready to be shown. Both are JSON, because the same door stands in
// the browser, compiled to WebAssembly, and in the server, for a browser that
// has no engine yet: so both say the same.
package door
