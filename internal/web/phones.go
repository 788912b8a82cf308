package web

import (
	"fmt"
	"html/template"
	"net"
	"net/http"
	"net/url"
	"strings"

	"github.com/skip2/go-qrcode"
)

// certificateKind is what phones know a certificate of an authority by.
const certificateKind = "application/x-x509-ca-cert"

type phonesView struct {
	On    bool // this program vouches for itself
	Print string
	Doors []phoneDoor
}

// phoneDoor is one address of this machine: where a phone gets the certificate
// and where it works then.
type phoneDoor struct {
	Trust, Work     string
	TrustQR, WorkQR template.HTML
}

// phones tells how a phone comes to trust this machine.
func (v *visit) phones() error {
	page := phonesView{}
	if a := v.options.authority; a != nil {
		page.On, page.Print = true, a.print()
		here, err := a.here()
		if err != nil {
			return err
		}
		for _, ip := range outward(here) {
			door := phoneDoor{Trust: "http://" + net.JoinHostPort(ip.String(), v.options.trustPort) + "/", Work: "https://" + net.JoinHostPort(ip.String(), v.options.workPort) + "/"}
			if door.TrustQR, err = qr(door.Trust); err != nil {
				return err
			}
			if door.WorkQR, err = qr(door.Work); err != nil {
				return err
			}
			page.Doors = append(page.Doors, door)
		}
	}
	return v.show(http.StatusOK, "phones.html", "Phones", "settings", page)
}

// qr draws an address so that a phone's camera reads it: dark on light in
// either theme.
func qr(text string) (template.HTML, error) {
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return "", err
	}
	rows := code.Bitmap() // with its quiet edge
	var dark strings.Builder
	for y, row := range rows {
		for x, on := range row {
			if on {
				fmt.Fprintf(&dark, "M%d %dh1v1h-1z", x, y)
			}
		}
	}
	n := len(rows)
	return template.HTML(fmt.Sprintf(`<svg class="qr" viewBox="0 0 %d %d" role="img" aria-label="Code of %s" shape-rendering="crispEdges"><rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="%s"/></svg>`,
		n, n, template.HTMLEscapeString(text), n, n, dark.String())), nil //nolint:gosec // the only text in it is escaped
}

// trustDoor answers on the plain door: it hands out the certificate, shows how
// to install it, and sends everyone else to the encrypted one. Nothing else
// goes over a line that others may read.
func (s *Server) trustDoor() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /certificate.crt", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", certificateKind)
		w.Header().Set("Content-Disposition", `attachment; filename="rinsewright.crt"`)
		_, _ = w.Write(s.options.authority.cert.Raw) // a phone that has gone is no news
	})
	mux.Handle("GET /{$}", s.plainly((*visit).trustPage))
	mux.Handle("GET /assets/{name}", s.plainly((*visit).asset))
	mux.Handle("/api/", http.NotFoundHandler()) // a program that forgets to encrypt must notice
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, s.working(r)+(&url.URL{Path: r.URL.Path}).String(), http.StatusTemporaryRedirect)
	})
	return s.logged(s.caught(s.headed(s.limited(mux))))
}

// plainly answers without looking at who asks.
func (s *Server) plainly(do func(*visit) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Server: s, w: w, r: r}
		if err := do(v); err != nil {
			v.fail(err)
		}
	})
}

func (v *visit) trustPage() error {
	return v.show(http.StatusOK, "trust.html", "Trust this machine", "", map[string]string{"Print": v.options.authority.print(), "Work": v.working(v.r) + "/"})
}

// working is the address of the encrypted door, as this visitor reaches it.
func (s *Server) working(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = strings.Trim(r.Host, "[]")
	}
	if net.ParseIP(host) == nil && strings.Trim(strings.ToLower(host), "abcdefghijklmnopqrstuvwxyz0123456789-.") != "" {
		host = "localhost"
	}
	return "https://" + net.JoinHostPort(host, s.options.workPort)
}
