/* The safe block: what a module does before, and without, a good image. */
#ifndef SAFE_H
#define SAFE_H
#include "core.h"

/* Offsets in the block, bytes. */
#define SAFE_VERSION     1
#define SAFE_REGISTERS   2
#define SAFE_TAIL_LEVEL  3
#define SAFE_STOP_IN     4
#define SAFE_TAIL_IN     5
#define SAFE_TURN_A_IN   6
#define SAFE_TURN_B_IN   7
#define SAFE_INVERT      8
#define SAFE_SHARED      9       /* 0, or 0x80 and the inputs of a wire that carries two functions */
#define SAFE_ON          10
#define SAFE_OFF         18
#define SAFE_STOP_OUT    26
#define SAFE_TAIL_OUT    34
#define SAFE_TURN_A_OUT  42
#define SAFE_TURN_B_OUT  50
#define SAFE_GAPS        58      /* four bits an input, in1 in the low bits of the first byte */
#define SAFE_STOP_TURN   62      /* two bytes a wire: 0, or 0x80 with wire and reference, and the input for the turn */
#define SAFE_OVER        66      /* supply code from which light is halved; 0: never */
#define SAFE_FLAGS       67
#define TURN_WAITS       0x01    /* of SAFE_FLAGS: no turn while the image is being checked */
#define SAFE_GAP_UNIT    4       /* refreshes of one step of a gap */

#ifndef __ASSEMBLER__
extern uint16_t safe_block;      /* address in flash of the chosen copy, or of the last resort. Set by safe_load, then constant */
extern uint8_t safe_registers;   /* 1..8; set by safe_load, then constant */

/* Chooses copy A, copy B or the last resort. */
void safe_load(void);

/* A byte of the chosen block. at: up to SAFE_FLAGS. */
uint8_t safe_u8(uint8_t at);

/* The safe program. in: filtered inputs; level: REGISTERS_MAX * 8 levels, all 0; checking: 1 while the image is being checked. */
void safe_levels(uint8_t in, uint8_t *level, uint8_t checking);

#endif
#endif
