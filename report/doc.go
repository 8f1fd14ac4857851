// Package report holds what the program has to tell a builder, as data: what
// is wrong, where it stands, why it matters and what to do next.
//
// A [Diagnostic] is made where a fault is found and printed somewhere else.
// [Render] writes text for a terminal and [WriteJSON] writes the same for a
// screen or another program; neither decides anything. A [List] collects
// diagnostics, so that a reader sees every fault of a document at once and in
// the order of its lines.
//
// Two kinds share the type. A document diagnostic says that a file cannot be
// understood; a finding says that what the file describes breaks a rule, and
// carries the figure, the limit and the limit's source. Both name a next step.
//
// Not promised: the wording of the rendered text. Programs read the JSON form
// and the IDs, which stay.
package report
