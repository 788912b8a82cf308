package web

import (
	_ "embed"
	"net/http"
	"strings"
)

// openAPI is made from apiRoutes by a test, with UPDATE=1, which fails when it
// is not what the routes are.
//
//go:embed assets/openapi.json
var openAPI []byte

// apiDescription hands out the description of the routes for programs, with the
// address under which they are reached.
func (v *visit) apiDescription() error {
	v.w.Header().Set("Content-Type", jsonKind)
	text := string(openAPI)
	if v.options.Base != "" {
		text = strings.Replace(text, `"url": "`+apiRoot, `"url": "`+v.options.Base+apiRoot, 1)
	}
	v.w.WriteHeader(http.StatusOK)
	_, err := v.w.Write([]byte(text))
	return err
}
