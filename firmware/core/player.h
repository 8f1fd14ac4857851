/* A player runs the routine of one moving layer: it steps the layer's fades and executes the routine's events.
 * Main side. docs/engine.md, section 4.2; code of a routine: docs/image-format.md, section 4.
 */
#ifndef PLAYER_H
#define PLAYER_H
#include "core.h"

/* One slot's way from level to level. Owned by the player of the layer that the slot belongs to. */
struct fade {
	uint16_t cur;            /* level, 1/256 */
	int16_t step;            /* change a tick, 1/256 level */
	uint8_t left;            /* ticks to go; 0: at rest */
	uint8_t target;          /* level at the end */
};

struct loop {
	uint16_t at;             /* offset in the image of the first operation inside */
	uint8_t left;            /* passes to go, the present one included */
};

#define LOOP_DEPTH 2

struct player {
	uint16_t at;             /* offset in the image of the next operation */
	uint16_t rate;           /* 1/4096 tick a frame */
	uint16_t acc;            /* part of a tick that has gone by, 1/4096 */
	uint16_t pos;            /* ticks since the routine's start or last return to it */
	uint16_t wait;           /* ticks to the next events */
	uint8_t fade_ticks;      /* F: length of fades to come */
	uint8_t shift;           /* X: added to slot numbers */
	uint8_t depth;           /* loops entered, 0..LOOP_DEPTH */
	uint8_t stopped;         /* 1: the routine has ended; fades go on */
	struct loop loop[LOOP_DEPTH];
};

/* What a player plays on; made anew in each frame from the layer's entry. */
struct part {
	struct player *player;
	struct fade *fades;      /* the first slot's */
	uint8_t slots;           /* 0..64 */
	uint16_t code;           /* offset in the image of the routine */
};

extern struct player players[MOVING_MAX];
extern struct fade fades[FADES_MAX];

/* Starts the routine and plays tick 0. Returns 1 when the routine ended in it. */
uint8_t player_start(const struct part *part, uint16_t rate);

/* Plays one tick. Returns 1 when the routine ended in it. */
uint8_t player_tick(const struct part *part);

/* Plays a frame at the player's rate. Returns 1 when the routine ended in it. */
uint8_t player_frame(const struct part *part);

#endif
