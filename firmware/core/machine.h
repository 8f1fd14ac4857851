/* The signal machine: which layers are live, and in which phase (docs/engine.md, section 4.1). Main side. */
#ifndef MACHINE_H
#define MACHINE_H
#include "core.h"

/* Phases of a layer. */
#define PHASE_OFF        0
#define PHASE_ARRIVE     1
#define PHASE_STAY       2
#define PHASE_LEAVE      3
#define PHASE_KEEP       4

/* Flags of a layer. */
#define SPENT            0x01    /* its time is over: not wanted until its inputs have been off */
#define ENDED            0x02    /* its player met the routine's end */
#define START            0x04    /* its phase's routine starts in this frame */

#define LIMIT_UNIT_FRAMES 64     /* a power of two */

#ifndef __ASSEMBLER__
/* The assembler knows the order of these fields: avr/layout.h. */
struct layer {
	uint8_t phase;
	uint8_t flags;
	uint16_t window;         /* frames left in which a return skips arrive */
	uint16_t keep;           /* frames left in which the outputs are held dark */
	uint16_t limit;          /* units of 64 frames left; 0: none */
};

extern struct layer layers[LAYERS_MAX];
extern struct layer *layers_end; /* behind the last layer of the accepted image */
extern uint8_t machine_moves;    /* not 0: a layer is live, or remembers a release */

/* The image was accepted: everything is off, as it has been since power-up. */
void machine_reset(void);

/* One frame. in: filtered inputs; no_shows: not 0 while something bars all shows; force, all 0: receives what the stop inputs
 * may force, a byte a register. */
void machine_step(uint8_t in, uint8_t no_shows, uint8_t force[REGISTERS_MAX]);
#endif


#endif
