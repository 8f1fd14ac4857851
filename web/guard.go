package web

import (
	"crypto/subtle"
	"net/http"
	"strings"
)

// The cookie that holds the key; SameSite keeps other sites from sending it, and HttpOnly scripts from reading it.
const keyCookie = "lampwright"

// mostBody is how much a request may bring: a photo, or a job text of 4 MiB with all of it escaped.
const mostBody = 32 << 20

// policy lets the page load nothing but what this server serves.
const policy = "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"

// guard refuses what does not come from the page that this server gave out, and serves the rest.
func (s *Server) guard(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	if r.Host != s.Host { // a name of somebody else's that was made to lead here
		http.Error(w, "this is not the address of the workbench", http.StatusForbidden)
		return
	}
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+s.Host {
		http.Error(w, "requests from other pages are refused", http.StatusForbidden)
		return
	}
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" && strings.HasPrefix(r.URL.Path, "/api/") {
		http.Error(w, "requests from other pages are refused", http.StatusForbidden)
		return
	}
	if key := r.URL.Query().Get("key"); key != "" && r.Method == http.MethodGet && r.URL.Path == "/" {
		if !s.right(key) {
			http.Error(w, "this address is of another run of lampwright open; use the one that it printed", http.StatusForbidden)
			return
		}
		http.SetCookie(w, &http.Cookie{Name: s.cookie(), Value: key, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	if c, err := r.Cookie(s.cookie()); err != nil || !s.right(c.Value) {
		http.Error(w, "open the workbench by the address that lampwright open printed", http.StatusForbidden)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	s.mux.ServeHTTP(w, r)
}

// cookie names the cookie by the port too, for cookies do not keep ports apart and two workbenches may be open.
func (s *Server) cookie() string {
	_, port, _ := strings.Cut(s.Host, ":")
	return keyCookie + "-" + port
}

func (s *Server) right(key string) bool {
	return subtle.ConstantTimeCompare([]byte(key), []byte(s.Key)) == 1
}
