package marked

import (
	"html/template"
	"slices"
	"strings"
	"testing"

	"rinsewright/internal/say"
)

func TestATemplateSpeaksTheLanguage(t *testing.T) {
	s := say.Of("es",
		"To the sites", "A las instalaciones", "Price of %s", "Precio de %s", "tank", "tanque",
		"Revision %s, saved %s UTC.", "Guardada el %[2]s UTC, revisión %[1]s.", "fine & 100 %% sure", "bien y 100 %% seguro",
		"One photo.", "Una foto.", "%d photos.", "%d fotos.", "not known", "no se sabe",
	)
	for _, c := range []struct{ name, in, want string }{
		{"words between tags", "<p><a href=\"/\">To the sites</a></p>", "<p><a href=\"/\">A las instalaciones</a></p>"},
		{"blanks stay", "<p> To the\n sites </p>", "<p> A las instalaciones </p>"},
		{"what is read aloud", `<input aria-label="Price of {{.Part}}" name="tank">`, `<input aria-label="Precio de tanque" name="tank">`},
		{"a sentence with values", "<p>Revision {{.N}}, saved {{.When}} UTC.</p>", "<p>Guardada el mayo UTC, revisión 7.</p>"},
		{"signs", "<p>fine &amp; 100 % sure</p>", "<p>bien y 100 % seguro</p>"},
		{"a value is said", "<b>{{.Part}}</b>", "<b>tanque</b>"},
		{"people's own words are not", "<b>{{own .Part}}</b>", "<b>tank</b>"},
		{"nor what is typed", `<input value="{{.Part}}"><textarea>{{.Part}} tank</textarea><code>tank</code> <p>tank</p>`, `<input value="tank"><textarea>tank tank</textarea><code>tank</code> <p>tanque</p>`},
		{"either way of a choice", `<p{{if .N}} class="x"{{else}} title="tank"{{end}}>{{if .N}}tank{{else}}not known{{end}}</p>`, `<p class="x">tanque</p>`},
		{"one and many", `{{count 1 "One photo." "%d photos."}} {{count 2 "One photo." "%d photos."}}`, "Una foto. 2 fotos."},
		{"markup of our own is left", "{{.Mark}}", "<i>tank</i>"},
	} {
		set := template.Must(template.New("x").Funcs(Functions(s)).Parse(c.in))
		Template(s, set)
		var b strings.Builder
		err := set.Execute(&b, map[string]any{"Part": "tank", "N": 7, "When": "mayo", "Mark": template.HTML("<i>tank</i>")})
		if err != nil || b.String() != c.want {
			t.Errorf("%s: got %q, want %q (%v)", c.name, b.String(), c.want, err)
		}
	}
}

func TestTheSentencesOfATemplateCanBeListed(t *testing.T) {
	set := template.Must(template.New("x").Funcs(Functions(say.In("en"))).Parse(`<p title="a b">One {{.X}}{{range .Y}}<i>two</i>{{else}}none{{end}} · {{.Z}}</p>`))
	got := Phrases(set)
	slices.Sort(got)
	if want := []string{"One %s", "a b", "none", "two"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
