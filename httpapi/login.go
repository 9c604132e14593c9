package httpapi

import (
	"errors"
	"html/template"
	"net/http"
	"strings"

	"seamwright/store"
)

// loginPage lets a person in without the app and without a script. It stands
// under /api, where the app's own worker does not answer in its place.
var loginPage = template.Must(template.New("").Parse(`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="/icon.svg"><title>Log in to Seamwright</title>
<style>
body { font: 18px/1.5 system-ui, sans-serif; margin: 0; padding: 2rem 1rem; color: #1c2420; background: #fafbf7 }
main { max-width: 24rem; margin: 0 auto }
h1 { font-size: 1.4rem; margin: 0 0 1.5rem }
label { display: block; margin-bottom: .25rem }
input, button { font: inherit; box-sizing: border-box; width: 100%; min-height: 3rem; padding: .5rem .75rem; border: 2px solid #1c2420; border-radius: 0; background: #fff; color: inherit }
button { margin-top: 1rem; background: #1c2420; color: #fff }
:focus-visible { outline: 3px solid #b45309; outline-offset: 2px }
p[role=alert] { border-left: 4px solid #b91c1c; padding-left: .75rem }
@media (prefers-color-scheme: dark) { body { color: #eef2ec; background: #151a17 } input { background: #151a17; border-color: #eef2ec } button { background: #eef2ec; color: #151a17; border-color: #eef2ec } }
</style></head>
<body><main>
<h1>Log in to the jobs on this server</h1>
{{with .}}<p role="alert">{{.}}</p>{{end}}
<form method="post" action="/api/log-in">
<input type="text" name="username" value="jobs" autocomplete="username" hidden>
<label for="password">Password</label>
<input id="password" name="password" type="password" autocomplete="current-password" required autofocus>
<button>Log in</button>
</form>
</main></body></html>
`))

func (s *Server) loginForm(w http.ResponseWriter, r *http.Request) error {
	if s.password == "" || s.sessions.GetBool(r.Context(), inKey) {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return nil
	}
	return showLogin(w, http.StatusOK, "")
}

func (s *Server) loginSent(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return refusing("request", "", "the form cannot be read")
	}
	err := s.enter(w, r, r.PostForm.Get("password"))
	var known *store.Error
	if errors.As(err, &known) && statuses[known.Code] != 0 {
		return showLogin(w, statuses[known.Code], strings.ToUpper(known.Message[:1])+known.Message[1:]+". "+strings.ToUpper(known.Hint[:1])+known.Hint[1:]+".")
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

func showLogin(w http.ResponseWriter, status int, problem string) error {
	w.Header().Set("Content-Type", kinds[".html"])
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	return loginPage.Execute(w, problem)
}
