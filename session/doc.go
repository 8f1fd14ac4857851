// Package session is a job on the workbench: one document that is seen, changed and saved, by one or several windows and
// by other programs at the same time.
//
// The text is the truth. A command is data (a name and arguments); it becomes a few edits of the text, and everything else
// is derived anew from it. Each change is a step that can be taken back, also after a reload, a restart, or when it
// came from another program. A save is whole or does not happen, and a text that was replaced stays among the steps.
//
// Not promised: merging. Who changes a revision that is no longer the latest is told so and does it again on the new one.
package session
