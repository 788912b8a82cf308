package web

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"
	validator "github.com/santhosh-tekuri/jsonschema/v6"
)

type object = map[string]any

// The description is made from the routes, so that there is none without one.
func TestTheDescriptionIsWhatTheRoutesAre(t *testing.T) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(description()); err != nil {
		t.Fatal(err)
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile("assets/openapi.json", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		openAPI = b.Bytes()
	}
	if !bytes.Equal(openAPI, b.Bytes()) {
		t.Error("assets/openapi.json is not what the routes are: UPDATE=1 go test ./internal/web -run Description")
	}
	if err := schemaIn(t, "testdata/openapi-3.1.json", "").Validate(parsed(t, string(openAPI))); err != nil {
		t.Errorf("it is no description as OpenAPI 3.1 wants it: %v", err)
	}
	operations := map[string]bool{}
	for _, route := range apiRoutes() {
		if route.name == "" || route.says == "" || route.status == 0 || operations[route.name] {
			t.Errorf("%s has no description, or a name that another has", route.pattern)
		}
		operations[route.name] = true
	}
	for code := range maps.Values(apiCodes) {
		if apiTitles[code] == "" {
			t.Errorf("code %s has no title", code)
		}
	}
}

// schemaIn is a schema of a file, or what stands at a place in it.
func schemaIn(t testing.TB, file, at string) *validator.Schema {
	t.Helper()
	c := validator.NewCompiler()
	c.DefaultDraft(validator.Draft2020)
	s, err := c.Compile(file + at)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func parsed(t testing.TB, text string) any {
	t.Helper()
	x, err := validator.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v in %.300s", err, text)
	}
	return x
}

// description makes the description from the routes.
func description() object {
	d := describer{schemas: object{}, reflector: jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, AllowAdditionalProperties: true}}
	paths := object{}
	for _, route := range apiRoutes() {
		method, path, _ := strings.Cut(route.pattern, " ")
		path = strings.TrimPrefix(path, apiRoot)
		one, _ := paths[path].(object)
		if one == nil {
			one = object{}
			paths[path] = one
		}
		one[strings.ToLower(method)] = d.operation(route, path)
	}
	problem := d.schema(apiProblem{})
	return object{
		"openapi": "3.1.0",
		"info": object{
			"title": "rinsewright", "version": "1", "license": object{"name": "as the program", "identifier": "LicenseRef-rinsewright"},
			"description": "Sites, samples, papers and the engine's answers. Numbers that are sent carry their unit in their text; numbers that are given are SI with the unit beside. " +
				"A token of an owner goes into the header Authorization as Bearer; its scopes are read, log, write and own. A change may carry an Idempotency-Key: sent again within a day it is answered as before and not made twice. " +
				"Every refusal is a problem (RFC 9457) with a code, and what to do about it in fix.",
		},
		"servers":  []object{{"url": apiRoot}},
		"security": []object{{"token": []string{}}},
		"paths":    paths,
		"components": object{
			"schemas":         d.schemas,
			"securitySchemes": object{"token": object{"type": "http", "scheme": "bearer", "description": "Made on the page Tokens, by rinsewright token make, or by addToken."}},
			"responses":       object{"problem": object{"description": "What went wrong, and what to do.", "content": object{problemKind: object{"schema": problem}}}},
		},
	}
}

type describer struct {
	schemas   object
	reflector jsonschema.Reflector
}

var inBraces = regexp.MustCompile(`\{([a-z]+)\}`)

func (d describer) operation(route apiRoute, path string) object {
	parameters := []object{}
	for _, m := range inBraces.FindAllStringSubmatch(path, -1) {
		parameters = append(parameters, object{"name": m[1], "in": "path", "required": true, "schema": object{"type": "string"}})
	}
	for _, a := range route.asks {
		one := object{"name": a.name, "in": "query", "description": a.says, "schema": object{"type": a.kind}}
		if a.example != "" {
			one["example"] = typedExample(a)
		}
		if a.name == "said" || a.name == "read" {
			one["schema"] = object{"type": "array", "items": object{"type": "string"}}
			one["example"] = []string{a.example}
		}
		parameters = append(parameters, one)
	}
	changes := !strings.HasPrefix(route.pattern, "GET ")
	if route.match {
		parameters = append(parameters, object{"name": "If-Match", "in": "header", "required": true, "description": "ETag of the state from which the change was made.", "schema": object{"type": "string"}})
	} else if route.etag && !changes {
		parameters = append(parameters, object{"name": "If-None-Match", "in": "header", "description": "ETag of the state that the asker has: 304 when it is still so.", "schema": object{"type": "string"}})
	}
	if changes && route.scope != openToAll && route.name != "addToken" {
		parameters = append(parameters, object{"name": "Idempotency-Key", "in": "header", "description": "A key of this change, at most 200 letters.", "schema": object{"type": "string", "maxLength": 200}})
	}
	good := object{"description": "Done."}
	if route.gives.kind != "" {
		good["content"] = object{route.gives.kind: d.content(route.gives)}
	}
	if route.etag {
		good["headers"] = object{"ETag": object{"description": "Mark of the state.", "schema": object{"type": "string"}}}
	}
	out := object{
		"operationId": route.name, "summary": route.says, "parameters": parameters,
		"responses": object{strconv.Itoa(route.status): good, "default": object{"$ref": "#/components/responses/problem"}},
	}
	if route.scope == openToAll {
		out["security"] = []object{}
	} else {
		out["security"] = []object{{"token": []string{string(route.scope)}}}
	}
	if route.sends.kind != "" {
		out["requestBody"] = object{"required": true, "content": object{route.sends.kind: d.content(route.sends)}}
	}
	return out
}

func typedExample(a apiAsk) any {
	switch a.kind {
	case "integer":
		n, err := strconv.Atoi(a.example)
		if err == nil {
			return n
		}
	case "boolean":
		return a.example == "true"
	}
	return a.example
}

func (d describer) content(b apiBody) object {
	out := object{}
	if b.of != nil {
		out["schema"] = d.schema(b.of)
	}
	if b.example != "" {
		var x any = b.example
		if b.kind == jsonKind {
			if err := json.Unmarshal([]byte(b.example), &x); err != nil {
				panic(err)
			}
		}
		out["example"] = x
	}
	return out
}

// schema is the schema of a value's type, with what it holds beside it.
func (d describer) schema(of any) object {
	whole := d.reflector.Reflect(of)
	b, err := json.Marshal(whole)
	if err != nil {
		panic(err)
	}
	text := strings.ReplaceAll(string(b), "#/$defs/", "#/components/schemas/")
	var s object
	if err := json.Unmarshal([]byte(text), &s); err != nil {
		panic(err)
	}
	delete(s, "$schema")
	if held, ok := s["$defs"].(object); ok {
		maps.Copy(d.schemas, held)
		delete(s, "$defs")
	}
	return s
}

// schemaOf is the schema that the description has for what a route answers.
func schemaOf(t testing.TB, route apiRoute) *validator.Schema {
	t.Helper()
	method, path, _ := strings.Cut(route.pattern, " ")
	place := []string{"paths", strings.TrimPrefix(path, apiRoot), strings.ToLower(method), "responses", strconv.Itoa(route.status), "content", route.gives.kind, "schema"}
	at := "#"
	for _, p := range place {
		at += "/" + strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D").Replace(p)
	}
	return schemaIn(t, "assets/openapi.json", at)
}
