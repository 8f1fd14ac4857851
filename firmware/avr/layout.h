/* Where the assembler finds the fields of the structures that it shares with the core's C. Unit: bytes. */
#ifndef LAYOUT_H
#define LAYOUT_H

#define FADE_CUR       0
#define FADE_LEFT      2
#define FADE_TARGET    3
#define FADE_STEP      4
#define FADE_BYTES     6

#define PLAYER_CODE    0
#define PLAYER_AT      2
#define PLAYER_POS     4
#define PLAYER_ACC     6
#define PLAYER_WAIT   10
#define PLAYER_REACH  12
#define PLAYER_TICKS  14
#define PLAYER_SHIFT  15
#define PLAYER_DEPTH  16
#define PLAYER_LOOP   17
#define LOOP_BYTES     3

/* Of a layer's state; what an image says of a layer is LAYER_...: image.h. */
#define STATE_PHASE    0
#define STATE_FLAGS    1
#define STATE_WINDOW   2
#define STATE_KEEP     4
#define STATE_LIMIT    6
#define STATE_BYTES    8

#ifndef __ASSEMBLER__
#include <stddef.h>
#include "image.h"
#include "machine.h"
#include "player.h"
_Static_assert(offsetof(struct fade, cur) == FADE_CUR && offsetof(struct fade, left) == FADE_LEFT
	&& offsetof(struct fade, target) == FADE_TARGET && offsetof(struct fade, step) == FADE_STEP
	&& sizeof(struct fade) == FADE_BYTES, "a fade");
_Static_assert(offsetof(struct player, code) == PLAYER_CODE && offsetof(struct player, at) == PLAYER_AT
	&& offsetof(struct player, pos) == PLAYER_POS && offsetof(struct player, acc) == PLAYER_ACC
	&& offsetof(struct player, wait) == PLAYER_WAIT && offsetof(struct player, reach) == PLAYER_REACH
	&& offsetof(struct player, fade_ticks) == PLAYER_TICKS && offsetof(struct player, shift) == PLAYER_SHIFT
	&& offsetof(struct player, depth) == PLAYER_DEPTH && offsetof(struct player, loop) == PLAYER_LOOP, "a player");
_Static_assert(offsetof(struct loop, at) == 0 && offsetof(struct loop, left) == 2 && sizeof(struct loop) == LOOP_BYTES
	&& LOOP_DEPTH == 2, "a loop");
_Static_assert(offsetof(struct layer, phase) == STATE_PHASE && offsetof(struct layer, flags) == STATE_FLAGS
	&& offsetof(struct layer, window) == STATE_WINDOW && offsetof(struct layer, keep) == STATE_KEEP
	&& offsetof(struct layer, limit) == STATE_LIMIT && sizeof(struct layer) == STATE_BYTES, "a layer's state");
_Static_assert(LAYER_INPUTS == LAYER_FLAGS + 1 && LAYER_ONLY_WHILE == LAYER_NOT_WHILE + 1 && LAYER_WINDOW == LAYER_LEAVE + 2
	&& LAYER_KEEP == LAYER_WINDOW + 2, "what step.S reads in a row follows each other");
_Static_assert(LAYER_FADE == LAYER_SLOTS + 1 && LAYER_MAP == LAYER_SLOTS + 2, "slots, first fade and map follow each other");
#endif
#endif
