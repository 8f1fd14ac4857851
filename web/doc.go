// Package web serves the workbench to a browser on the same machine: the document with what was made of it, the commands of
// package session, pictures of the light, making and proving. Requests: docs/workbench.md.
//
// The server listens on loopback, knows its own address and gives nothing to a page that did not come with the key. It computes
// nothing that another room computes; what the browser holds of its own are views and drags.
//
// Not promised: that several people may work over a network. It is one bench on one machine.
package web
