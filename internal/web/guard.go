package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"runtime/debug"
	"strings"
	"time"
)

// maxBody is as much as anyone may send at once.
const maxBody = 1 << 20

// policy lets a page use what the program itself serves and nothing else.
// 'wasm-unsafe-eval' lets it run the engine; it allows no script from a text.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; " +
	"form-action 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'"

// guarded puts what every answer needs around the routes, outermost first: the
// log, the end of a panic, headers, limits, and the refusal of forms that
// another site sends.
func (s *Server) guarded(next http.Handler) http.Handler {
	next = http.NewCrossOriginProtection().Handler(next)
	next = s.limited(next)
	next = s.headed(next)
	next = compressed(next)
	next = s.caught(next)
	return s.logged(next)
}

func (s *Server) headed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "geolocation=(), microphone=(), payment=(), usb=()")
		if s.options.Public && r.TLS != nil { // a house's own authority may be put away again
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		next.ServeHTTP(w, r)
	})
}

// rawBody is the key of a request's body before it was bounded, for the one
// route that takes a large file and bounds it anew.
type rawBody struct{}

func (s *Server) limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.visitors.allow(s.neighbours(r)) {
			w.Header().Set("Retry-After", "10")
			http.Error(w, "Too many requests from this address. Wait ten seconds.", http.StatusTooManyRequests)
			return
		}
		r = r.WithContext(context.WithValue(r.Context(), rawBody{}, r.Body))
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		next.ServeHTTP(w, r)
	})
}

// address is where a request comes from, without the port. A trusted proxy is
// believed about whom it answers for: of its list the last name that is no
// trusted proxy itself, since each adds at the end whom it has heard.
func (s *Server) address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	list := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(list) - 1; i >= 0 && s.trusts(host); i-- {
		said, err := netip.ParseAddr(strings.TrimSpace(list[i]))
		if err != nil {
			break
		}
		host = said.Unmap().String()
	}
	return host
}

// neighbours is the address as tries are counted: of IPv6 the first 64 bits, since
// whoever has one of those addresses has all of them.
func (s *Server) neighbours(r *http.Request) string {
	host := s.address(r)
	addr, err := netip.ParseAddr(host)
	if err != nil || addr.Unmap().Is4() {
		return host
	}
	return netip.PrefixFrom(addr.WithZone(""), 64).Masked().String()
}

// trusts tells whether what an address passes on is believed.
func (s *Server) trusts(host string) bool {
	addr, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	addr = addr.Unmap().WithZone("")
	for _, p := range s.options.Proxies {
		if p.Contains(addr) {
			return true
		}
	}
	return s.options.Proxies == nil && addr.IsLoopback()
}

// encrypted tells whether the browser's line is, here or at a trusted proxy.
func (s *Server) encrypted(r *http.Request) bool {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	return r.TLS != nil || err == nil && s.trusts(host) && r.Header.Get("X-Forwarded-Proto") == "https"
}

// under takes the path off under which a proxy shows the pages. A proxy that has
// taken it off itself is answered alike.
func (s *Server) under(next http.Handler) http.Handler {
	base := s.options.Base
	if base == "" {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == base {
			http.Redirect(w, r, base+"/", http.StatusMovedPermanently)
			return
		}
		if strings.HasPrefix(r.URL.Path, base+"/") {
			http.StripPrefix(base, next).ServeHTTP(w, r)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func loopbackIP(host string) bool {
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// caught answers when a handler panics, and keeps the others running.
func (s *Server) caught(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if p := recover(); p != nil && p != http.ErrAbortHandler {
				s.options.Log.Error("panic", "path", loggedPath(r.URL.Path), "panic", p, "stack", string(debug.Stack()))
				http.Error(w, "Something is wrong on our side. Nothing you typed was kept.", http.StatusInternalServerError)
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// counted remembers the status for the log.
type counted struct {
	http.ResponseWriter
	status int
	bytes  int
}

// Unwrap lets a long answer have a limit of its own.
func (c *counted) Unwrap() http.ResponseWriter { return c.ResponseWriter }

func (c *counted) WriteHeader(status int) {
	c.status = status
	c.ResponseWriter.WriteHeader(status)
}

func (c *counted) Write(b []byte) (int, error) {
	if c.status == 0 {
		c.status = http.StatusOK
	}
	n, err := c.ResponseWriter.Write(b)
	c.bytes += n
	return n, err
}

// logged writes one line for each request; what was typed is in none.
func (s *Server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		begun := time.Now()
		c := &counted{ResponseWriter: w}
		var who asker
		next.ServeHTTP(c, r.WithContext(context.WithValue(r.Context(), askerKey{}, &who)))
		s.options.Log.Info("answered", "method", r.Method, "path", loggedPath(r.URL.Path), "status", c.status, "bytes", c.bytes,
			"ms", float64(time.Since(begun).Microseconds())/1000, "from", s.address(r), "person", who.person)
	})
}

// asker is who asked, by id, for the log; empty for a stranger.
type asker struct{ person string }

type askerKey struct{}

// asks tells the log who it was.
func (v *visit) asks(person string) {
	if who, ok := v.r.Context().Value(askerKey{}).(*asker); ok {
		who.person = person
	}
}

// loggedPath is a path without the secret that the address of a calendar is.
func loggedPath(path string) string {
	if strings.HasPrefix(path, feedPath) {
		return feedPath + "..."
	}
	return path
}

func escape(s string) string { return url.QueryEscape(s) }
