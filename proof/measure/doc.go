// Package measure measures the HEX that ships: how busy the processor is, how soon a stop lamp lights, how well a sweep meets
// the flasher, how far two modules on a link wire are apart. Light and times are read from the words that a simulated processor
// latched, and from the cycle at which it did; every measure hands back figures with their units and, where there is one, the
// goal that they must meet. Tests and the bench sheet read the same figures.
//
// Where hundreds of flashes are needed the reference engine stands in for the processor: it is bit-exact, and a shorter run
// on the processor, compared word by word, shows so.
//
// Not promised: what package proof does not promise. The clock is taken to be exact unless a measure says otherwise.
package measure
