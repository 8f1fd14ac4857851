// Package source reads the program's text files strictly, changes them without
// disturbing what it does not change, and saves them without risk.
//
// # Reading
//
// [Parse] turns text into a [File]; [File.Decode] fills Go structs from it by
// their yaml tags. All faults are reported at once, each as a diagnostic with
// file, line and column, the line itself, what was expected and the nearest
// known word. Unknown keys, repeated keys, missing keys and values of another
// kind are faults; nothing is repaired in silence.
//
// The text is a part of YAML 1.2: mappings, lists, plain, quoted and block
// texts, comments. Anchors, aliases, merge keys, tags, directives and several
// documents in one file are refused, so that a small file can never unfold
// into a large one and every value stands where it is read.
//
// # Changing
//
// [File.Apply] makes an [Edit] by cutting the text at the very value, so that
// all other lines stay byte for byte: comments, alignment, order, line ends.
// The result is read again and compared with what was meant before it is
// accepted.
//
// # Saving
//
// [Save] writes beside the file and renames, so that the file is always either
// the old or the new one. Only a File can be saved, and only text that parses
// becomes a File.
//
// Not promised: YAML at large. A file that another program writes may need
// plainer wording here, and the message says which.
package source
