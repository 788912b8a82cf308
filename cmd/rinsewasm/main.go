//go:build js && wasm

// Command rinsewasm is the engine in the browser: package door, compiled to
// WebAssembly. It gives the worker that runs it one function,
// rinsewrightAnswer, from a question to an answer, both JSON texts.
package main

import (
	"context"
	"fmt"
	"syscall/js"

	"rinsewright/internal/door"
)

func main() {
	var d door.Door
	js.Global().Set("rinsewrightAnswer", js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		if len(arguments) != 1 || arguments[0].Type() != js.TypeString {
			return `{"why":"The question cannot be read."}`
		}
		return answer(&d, arguments[0].String())
	}))
	select {} // the page ends the worker
}

// answer keeps the engine alive whatever happens: a page must not lose what
// someone typed because one answer went wrong.
func answer(d *door.Door, question string) (text string) {
	defer func() {
		if p := recover(); p != nil {
			*d = door.Door{}
			text = fmt.Sprintf(`{"why":%q}`, "The engine stumbled: "+fmt.Sprint(p))
		}
	}()
	return string(d.JSON(context.Background(), []byte(question)))
}
