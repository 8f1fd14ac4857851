/* Stop and turn on one wire, told apart by a clean stop wire beside it (docs/engine.md, section 3.2). Main side. */
#ifndef STOPTURN_H
#define STOPTURN_H
#include "core.h"

extern uint8_t stopturn_still;   /* the wires that do not flash now, with their turns: what they say is no turn */

/* One frame. in: filtered inputs. Returns them with the turn on its own input, and with a stop that the reference lost. */
uint8_t stopturn_step(uint8_t in);

#endif
