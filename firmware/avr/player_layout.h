/* Where player.S finds the fields of the structures that it shares with the core's C. Unit: bytes. */
#ifndef PLAYER_LAYOUT_H
#define PLAYER_LAYOUT_H

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

#ifndef __ASSEMBLER__
#include <stddef.h>
#include "image.h"
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
_Static_assert(LAYER_FADE == LAYER_SLOTS + 1 && LAYER_MAP == LAYER_SLOTS + 2, "slots, first fade and map follow each other");
#endif
#endif
