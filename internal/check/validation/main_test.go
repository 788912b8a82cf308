package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPageListsTablesAndComparisons(t *testing.T) {
	top, recorded := t.TempDir(), t.TempDir()
	put(t, filepath.Join(top, "water", "testdata", "ref", "a.csv"), "# source: a | book\n# where: table 2\n# kind: published\n# unit: Pa\nid,x\na,1\nb,2\n")
	put(t, filepath.Join(recorded, "water.jsonl"), `{"package":"water","test":"TestB","got":1.5,"want":1,"tolerance":1,"source":"published: a book"}
{"package":"water","test":"TestA","got":2,"want":2,"tolerance":0,"source":"published: a book"}
{"package":"water","test":"TestC","got":1,"want":2,"tolerance":4,"source":"published: a book","column":"pH"}
{"package":"water","test":"TestC","got":5,"want":2,"tolerance":4,"source":"published: a book","column":"pH"}
`)
	put(t, filepath.Join(recorded, "a-later-file.jsonl"), `{"package":"zinc","test":"TestA","got":1,"want":1,"tolerance":0,"source":"published: a book"}`+"\n")
	var page bytes.Buffer
	if err := write(&page, top, recorded); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"water/testdata/ref/a.csv | 2 | published | a / book | table 2 | Pa |\n",
		"| water | TestC | pH | 2 | 2 | 3 | 0.75 | published: a book |\n",
		"| water | TestA | 2 | 2 | 0 | 0.00 | published: a book |\n| water | TestB | 1.5 | 1 | 1 | 0.50 | published: a book |\n| water | TestC |",
	} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page does not hold %q:\n%s", want, &page)
		}
	}
}

func TestPageRefusesATableWithoutItsHead(t *testing.T) {
	top := t.TempDir()
	put(t, filepath.Join(top, "testdata", "ref", "a.csv"), "id,x\na,1\n")
	if err := write(&bytes.Buffer{}, top, top); err == nil || !strings.Contains(err.Error(), "a.csv") {
		t.Errorf("error %v, want one that names a.csv", err)
	}
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
