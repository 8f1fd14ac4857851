package main

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"lampwright/loader"
	"lampwright/report"
)

// The page on JSON names every key that a command prints, under the command's own heading, and none that is not printed.
func TestKeysAreOnThePage(t *testing.T) {
	page, err := os.ReadFile("../../docs/json.md")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(page), strings.ReplaceAll(regexp.MustCompile(`(?m)^  (\d)  (.*)$`).ReplaceAllString(statusTable, "| $1 | $2 |"), "\r", "")) {
		t.Error("the statuses are not those of the help")
	}
	sections := map[string]string{}
	for _, part := range strings.Split(string(page), "\n## ")[1:] {
		heading, body, _ := strings.Cut(part, "\n")
		sections[heading] = body
	}
	word := regexp.MustCompile("`([a-z][a-z0-9_]*)`")
	for heading, types := range map[string][]any{
		"Findings: `check`, and any command whose job has faults": {report.Diagnostic{}, report.Place{}, report.Remark{}},
		"`make`":    {made{}, madeModule{}, madeFile{}, madeLimit{}, madeTurn{}, madeLoad{}},
		"`play`":    {picked{}},
		"`prove`":   {proven{}, provenModule{}, stood{}, stoodFault{}, stoodLoss{}, stoodBreak{}},
		"`load`":    {loaded{}, loader.Contents{}, loader.Served{}},
		"`rewire`":  {rewired{}, wiredChange{}},
		"`scope`":   {scoped{}},
		"`fmt`":     {tidied{}},
		"`version`": {versions{}, coreBuild{}},
	} {
		keys := map[string]bool{"version": true, "summary": true, "diagnostics": true, "document": true, "finding": true, "caution": true, "note": true}
		for _, v := range types {
			of := reflect.TypeOf(v)
			for i := range of.NumField() {
				key, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
				keys[key] = true
				if !strings.Contains(sections[heading], "`"+key+"`") {
					t.Errorf("%s: the page does not name %q", heading, key)
				}
			}
		}
		for _, said := range word.FindAllStringSubmatch(sections[heading], -1) {
			if !keys[said[1]] {
				t.Errorf("%s: the page names %q, which is not printed", heading, said[1])
			}
		}
	}
}
