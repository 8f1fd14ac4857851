/* Store: a pace that was learned outlives the supply (docs/engine.md, section 5). Main side. */
#ifndef STORE_H
#define STORE_H
#include "core.h"

extern uint8_t store_waits;      /* paces that are still to be written */

/* What the RAM may still hold when the power comes again: the last flash of a module that powers up with each. Anything else that
 * it holds then says neither word of the two, or harmlessly the wrong one. */
extern struct note {
	uint8_t units;           /* TARGET_UNITs */
	uint8_t check;           /* units with one of these */
} store_note;
#define NOTE_SEEN        0xFF
#define NOTE_STORED      0x5A    /* and something was stored since the RAM lives */

/* Reads what is held. Once, at power-up. */
void store_start(void);

/* The target that is held of a pacer, refreshes; 0: none. */
uint16_t store_target(uint8_t pacer);

/* Takes a target, refreshes, if it is worth a write. At most one a pacer is taken. */
void store_offer(uint8_t pacer, uint16_t target);

/* Writes a byte if one waits and the memory is ready. Once a frame. */
void store_step(void);

#endif
