package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/invopop/jsonschema"
)

// The schema of each object that --json prints is kept beside the reference
// and made from the type that is printed, so a reader can rely on it.
func TestTheSchemasAreWhatIsPrinted(t *testing.T) {
	for name, object := range map[string]any{
		"backup":    archivedJSON{},
		"check":     checkJSON{},
		"checkup":   checkupJSON{},
		"compare":   compareJSON{},
		"faults":    faultsJSON{},
		"forecast":  forecastJSON{},
		"forecasts": forecastsJSON{},
		"import":    importJSON{},
		"log":       logJSON{},
		"prove":     proveJSON{},
		"quote":     quoteJSON{},
		"refusal":   refusal{},
		"size":      sizeJSON{},
		"survey":    surveyJSON{},
		"trips":     tripsJSON{},
		"verify":    verifyJSON{},
		"water":     waterJSON{},
	} {
		reflector := jsonschema.Reflector{Anonymous: true, AllowAdditionalProperties: true}
		schema := reflector.Reflect(object)
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetIndent("", "  ")
		if err := e.Encode(schema); err != nil {
			t.Fatal(err)
		}
		page := filepath.Join("../../docs/reference/schema", name+".json")
		if os.Getenv("UPDATE") != "" {
			if err := os.WriteFile(page, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(kept, b.Bytes()) {
			t.Errorf("%s is not what is printed: UPDATE=1 go test ./internal/cli", page)
		}
	}
}
