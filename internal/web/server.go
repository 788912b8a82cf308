package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/netip"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/web/engine"
)

// Options is what a server works with.
type Options struct {
	Store    *store.Store
	Version  string
	Log      *slog.Logger
	Now      func() time.Time // nil is the machine's clock
	Photos   *store.Folder    // where photos lie; nil takes none
	Backups  string           // folder of the backups; "" for none
	Locks    archive.Locks    // for whom backups are encrypted; none leave them plain
	Setup    string           // token of the setup link, for as long as there is no account
	Examples []string         // names of the practice sites
	Example  func(name string) ([]byte, error)
	// Engine finds what pages run in the browser; nil leaves every question to
	// the server.
	Engine func(context.Context) (engine.Files, error)

	// Ask answers a program as the command line does; nil leaves programs without
	// the engine's answers.
	Ask func(context.Context, Asked) (Answer, error)
	// Base is the path under which a proxy shows the pages, "" for the root; it
	// begins with a slash and ends with none.
	Base string
	// Proxies are the addresses whose word is taken for whom they answer and by
	// which line; nil is this machine's own.
	Proxies []netip.Prefix

	// Public says that an authority which anyone can look up vouches for the name,
	// so that browsers may keep to the encrypted line.
	Public bool

	authority           *authority // vouches for this machine, nil for none
	workPort, trustPort string     // of the encrypted door and of the plain one
}

// Server answers the pages.
type Server struct {
	options   Options
	store     *store.Store
	pages     *pages
	assets    *assets
	views     *views
	glances   *glancer
	engine    *engineRoom
	sizings   *sizings
	provings  *memory[preparing, prepared]
	findings  *memory[suspicion, found]
	forecasts *memory[question, tracked]
	plans     *memory[planQuestion, planned]
	foreseer  *foreseer
	passwords *limiter // by login, and by person
	signIns   *limiter // by address, and codes by person
	visitors  *limiter // by address
	hashing   chan struct{}

	unpacking chan struct{} // one picture at a time
	safe      *safekeeping
	asking    chan struct{} // one program's question at a time
	metrics   *metrics
	handler   http.Handler
}

// New makes a server. Close it to end its work in the background.
func New(o Options) (*Server, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{options: o, store: o.Store, hashing: make(chan struct{}, 2), unpacking: make(chan struct{}, 1), asking: make(chan struct{}, 1)}
	s.safe = &safekeeping{options: &s.options}
	s.passwords = newLimiter(o.Now, passwordTries, time.Minute)
	s.signIns = newLimiter(o.Now, 10, time.Minute)
	s.visitors = newLimiter(o.Now, 3000, time.Minute)
	s.assets = newAssets(o.Base)
	var err error
	if s.pages, err = newPages(s.assets, o.Base); err != nil {
		return nil, fmt.Errorf("read the pages: %w", err)
	}
	s.views = newViews(o.Version)
	s.glances = newGlancer(s)
	s.sizings = newSizings(o.Version)
	s.sizings.keep = s.keepSizing
	s.provings = newMemory[preparing, prepared]()
	s.findings = newMemory[suspicion, found]()
	s.forecasts = newMemory[question, tracked]()
	s.plans = newMemory[planQuestion, planned]()
	s.foreseer = newForeseer(s)
	s.engine = newEngineRoom(o.Base, o.Engine, s.noEngine)
	s.metrics = newMetrics(s)
	s.handler = s.under(s.guarded(s.mux()))
	return s, nil
}

// Close ends what runs in the background.
func (s *Server) Close() {
	s.engine.stop()
	s.sizings.stop()
	s.provings.stop()
	s.findings.stop()
	s.forecasts.stop()
	s.plans.stop()
	s.foreseer.stop()
	s.glances.stop()
	s.views.stop()
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// mux wires the table of routes.
func (s *Server) mux() *http.ServeMux {
	mux := http.NewServeMux()
	for _, route := range routes() {
		if route.may == nobody { // a route without a rule is a mistake in this package
			panic(route.pattern)
		}
		mux.Handle(route.pattern, s.measured(route.pattern, s.route(route)))
	}
	for _, route := range apiRoutes() {
		if _, ruled := scopeMay[route.scope]; !ruled { // likewise
			panic(route.pattern)
		}
		mux.Handle(route.pattern, s.measured(route.pattern, s.apiRoute(route)))
	}
	for _, method := range []string{"GET", "POST", "PUT", "PATCH", "DELETE"} {
		mux.Handle(method+" /api/", s.apiRoute(apiRoute{scope: openToAll, do: (*visit).apiNowhere}))
	}
	return mux
}

// route lets in who may, and shows an error as a page.
func (s *Server) route(route route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Server: s, w: w, r: r, route: route.pattern}
		w.Header().Set("Cache-Control", "no-store") // what may be kept says so itself
		if err := v.enter(route.may); err != nil {
			v.fail(err)
			return
		}
		if v.done {
			return
		}
		if err := route.do(v); err != nil {
			v.fail(err)
		}
	})
}

// problem is an error with its status and what to do about it.
type problem struct {
	status int
	says   string
	hint   string
	cause  error
}

func (p *problem) Error() string { return p.says }

func (p *problem) Unwrap() error { return p.cause }

func refuse(status int, says, hint string) error {
	return &problem{status: status, says: says, hint: hint}
}

// explained turns what went wrong into what a person can read.
func explained(err error) *problem {
	var p *problem
	switch {
	case errors.As(err, &p):
		return p
	case errors.Is(err, store.ErrNone):
		return &problem{http.StatusNotFound, "That is not here.", "It may have been removed. The list of sites shows what is there.", err}
	case errors.Is(err, store.ErrConflict):
		return &problem{http.StatusConflict, "Someone else changed this since you opened it.", "Open it again: your change was not kept, theirs was.", err}
	case errors.Is(err, store.ErrText):
		return &problem{http.StatusBadRequest, "There is a character in it that cannot be kept.", "Type it again without what was pasted.", err}
	case errors.Is(err, store.ErrNoRoom):
		return &problem{http.StatusInsufficientStorage, "The disk of this machine is full.", "Nothing of this was kept; what was kept before is there. Somebody makes room on the machine, then send it again.", err}
	case errors.Is(err, store.ErrDisk):
		return &problem{http.StatusServiceUnavailable, "The disk of this machine does not work as it should.", "Nothing of this was kept. Send it again; if this comes back, make a backup to another disk now.", err}
	case errors.Is(err, context.Canceled):
		return &problem{499, "You went away.", "", err}
	case errors.Is(err, context.DeadlineExceeded):
		return &problem{http.StatusServiceUnavailable, "This takes too long right now.", "Try again in a minute.", err}
	}
	return &problem{http.StatusInternalServerError, "Something is wrong on our side.", "Nothing you typed was kept. The log of the program says more.", err}
}
