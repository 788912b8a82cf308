package web

import (
	"context"
	"errors"
	"net"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"rinsewright/internal/store"
)

// metrics are what whoever watches the program asks for, in a register of their
// own. Routes are told by their patterns, never by what was asked.
type metrics struct {
	requests *prometheus.CounterVec
	took     *prometheus.HistogramVec
	received *prometheus.CounterVec
	handler  http.Handler
}

// seconds are the edges between which answers are counted: the goals are
// 0.1 s for a page and 0.5 s for one that asks the engine.
var seconds = []float64{0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10, 60}

func newMetrics(s *Server) *metrics {
	m := &metrics{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "rinsewright_requests_total", Help: "Requests answered, by route and status."}, []string{"route", "status"}),
		took:     prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "rinsewright_request_seconds", Help: "Time to answer, by route.", Buckets: seconds}, []string{"route"}),
		received: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "rinsewright_samples_total", Help: "Samples that arrived, by what became of them: kept (now or earlier), two versions, refused."}, []string{"became"}),
	}
	register := prometheus.NewRegistry()
	register.MustRegister(m.requests, m.took, m.received, standing{s}, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	m.handler = promhttp.HandlerFor(register, promhttp.HandlerOpts{})
	return m
}

// measured counts what a route answers.
func (s *Server) measured(pattern string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		begun := time.Now()
		c := &counted{ResponseWriter: w}
		next.ServeHTTP(c, r)
		if c.status == 0 {
			c.status = http.StatusOK
		}
		s.metrics.requests.WithLabelValues(pattern, strconv.Itoa(c.status)).Inc()
		s.metrics.took.WithLabelValues(pattern).Observe(time.Since(begun).Seconds())
	})
}

// count counts what became of samples, and hands the receipts on.
func (s *Server) count(receipts []store.Receipt, err error) ([]store.Receipt, error) {
	for _, r := range receipts {
		became := "refused"
		switch {
		case r.Kept:
			became = "kept"
		case errors.Is(r.Err, store.ErrConflict):
			became = "two versions"
		}
		s.metrics.received.WithLabelValues(became).Inc()
	}
	return receipts, err
}

// standing is asked of the store when somebody looks.
type standing struct{ *Server }

var (
	sitesTold    = prometheus.NewDesc("rinsewright_sites", "Sites on the list.", nil, nil)
	versionsTold = prometheus.NewDesc("rinsewright_open_versions", "Samples in two versions that nobody has chosen from.", nil, nil)
	readyTold    = prometheus.NewDesc("rinsewright_ready", "1 when the store answers.", nil, nil)
	oldTold      = prometheus.NewDesc("rinsewright_old_forecasts", "Sites whose forecast is not of the present, counted to 1000.", nil, nil)
	backupTold   = prometheus.NewDesc("rinsewright_backup_age_seconds", "Since the last backup; absent when there was none.", nil, nil)
	drillTold    = prometheus.NewDesc("rinsewright_drill_age_seconds", "Since a backup was last tried out; absent when none was.", nil, nil)
)

// Describe names what is told.
func (standing) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{sitesTold, versionsTold, readyTold, oldTold, backupTold, drillTold} {
		to <- d
	}
}

// Collect asks. What the store does not answer is absent, and ready is 0.
func (s standing) Collect(to chan<- prometheus.Metric) {
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
	defer stop()
	tell := func(d *prometheus.Desc, x float64) { to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, x) }
	_, sites, err := s.store.Sites(ctx, "", 0, 1)
	if err != nil {
		tell(readyTold, 0)
		return
	}
	tell(readyTold, 1)
	tell(sitesTold, float64(sites))
	if open, err := s.store.OpenVersions(ctx); err == nil {
		tell(versionsTold, float64(open))
	}
	now := s.options.Now()
	if old, err := s.store.OldForecasts(ctx, foreseenBy(s.options.Version, dayOf(now)), 1000); err == nil {
		tell(oldTold, float64(len(old)))
	}
	for d, last := range map[*prometheus.Desc]func(context.Context) (time.Time, error){backupTold: s.store.LastBackup, drillTold: s.store.LastDrill} {
		if at, err := last(ctx); err == nil && !at.IsZero() {
			tell(d, now.Sub(at).Seconds())
		}
	}
}

// watched answers whoever watches the program: from this machine itself, or with
// a token that may read.
func (v *visit) watched() error {
	if !v.fromHere() {
		if _, err := v.enterAPI(store.ReadScope); err != nil {
			v.failAPI(err)
			return nil
		}
	}
	v.metrics.handler.ServeHTTP(v.w, v.r)
	return nil
}

// fromHere tells whether somebody on this machine asks, and not a proxy on it
// for somebody elsewhere.
func (v *visit) fromHere() bool {
	host, _, err := net.SplitHostPort(v.r.RemoteAddr)
	for _, name := range []string{"X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "Forwarded", "X-Real-Ip", "Via"} {
		if v.r.Header.Get(name) != "" {
			return false
		}
	}
	return err == nil && loopbackIP(host)
}
