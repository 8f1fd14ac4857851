package main

import (
	"reflect"
	"strings"
)

// helpOf tells whether a word is a command, and gives its help.
func helpOf(word string) (string, bool) {
	grammar := reflect.TypeFor[commands]()
	for i := range grammar.NumField() {
		field := grammar.Field(i)
		if strings.EqualFold(field.Name, word) {
			return field.Tag.Get("help"), true
		}
	}
	return "", false
}
