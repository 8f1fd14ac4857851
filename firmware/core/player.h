/* A player runs the routine of one moving layer: it steps the layer's fades and executes the routine's events.
 * Main side. docs/engine.md, section 4.2; code of a routine: docs/image-format.md, section 4.
 */
#ifndef PLAYER_H
#define PLAYER_H
#include "code.h"
#include "core.h"

/* One slot's way from level to level. Owned by the player of the layer that the slot belongs to. The assembler knows the order
 * of these fields, and of the player's: avr/layout.h. */
struct fade {
	uint16_t cur;            /* level, 1/256 */
	uint8_t left;            /* ticks to go; 0: at rest */
	uint8_t target;          /* level at the end */
	int16_t step;            /* change a tick, 1/256 level */
};

struct loop {
	uint16_t at;             /* address in flash of the first operation inside */
	uint8_t left;            /* passes to go, the present one included */
};

struct player {
	uint16_t code;           /* address in flash of the routine */
	uint16_t at;             /* address in flash of the next operation */
	uint16_t pos;            /* ticks since the routine's start or last return to it */
	uint16_t acc;            /* part of a tick that has gone by, 1/4096 */
	uint16_t rate;           /* 1/4096 tick a frame */
	uint16_t wait;           /* ticks to the next events; 0: the routine has ended, fades go on */
	uint16_t reach;          /* 65535 / fade_ticks, so that nothing is divided fade by fade; 0: not worked out yet */
	uint8_t fade_ticks;      /* F: length of fades to come */
	uint8_t shift;           /* X: added to slot numbers */
	uint8_t depth;           /* loops entered, 0..LOOP_DEPTH */
	struct loop loop[LOOP_DEPTH];
};

extern struct player players[MOVING_MAX];
extern struct fade fades[FADES_MAX];

/* Held levels of live mode, one byte an output, in the last LIVE_FADES. */
#define STREAMED_LEVELS ((uint8_t *)&fades[FADES_MAX - LIVE_FADES])

/* In all of these, entry is the address in flash of the layer's entry: it has the slots and the first of their fades, and was
 * judged at job 0 (check.h). */

/* Starts a routine (its offset in the image) and plays tick 0; the rate is the caller's to set. Returns 1 when the routine ended in it. */
uint8_t player_start(struct player *p, uint16_t entry, uint16_t routine);

/* Plays a frame at the player's rate. Returns 1 when the routine ended in it. */
uint8_t player_frame(struct player *p, uint16_t entry);

/* Executes operations until a wait. Returns 1 when the routine has ended, by its end or by a fault. */
uint8_t player_events(struct player *p, uint16_t entry);

/* Steps the layer's fades so many ticks at once, 1..255; no event lies between them. */
void player_step(uint16_t entry, uint8_t ticks);

#endif
