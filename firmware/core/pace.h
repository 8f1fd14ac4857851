/* Pace: learns how long the car's flasher is on, so that a sweep ends with its click (docs/engine.md, section 5).
 *
 * Unit of all times here: one refresh, 0.5 ms.
 */
#ifndef PACE_H
#define PACE_H

#define PACE_RING        12      /* on-times remembered */
#define PACE_NEWEST      4       /* of these, the ones that can show a trend */
#define PACE_TREND_MIN   6       /* on-times before a trend, or one that is short by itself, is looked for */
#define PACE_MIN         240     /* what is plausible: 120 ms */
#define PACE_MAX         1800    /* 900 ms */
#define PACE_DEFAULT     260     /* 130 ms, inside the shortest legal on-time of 150 ms */
#define PACE_DELAY       10      /* from the sample behind a snapshot to its light, and a little more */
#define PACE_AGREE       3       /* odd on-times that make a new rate */
#define PACE_RATE_MAX    32767   /* less than 8 ticks a frame */

#ifndef __ASSEMBLER__
#include "core.h"

/* What a pacer has seen when a frame begins. Written by the interrupt at the snapshot, read by the frame job. */
struct pace_seen {
	uint16_t age;            /* refreshes that the input has been on for, less one */
	uint16_t done;           /* length of the last on-time */
	uint8_t fresh;           /* 1: done is new */
};

/* Interrupt side. */
void pace_begin(uint16_t age);                             /* the image was accepted; age: of what brought the supply and is on */
void pace_refresh(uint8_t inputs, uint8_t flipped);        /* filtered inputs, and those that flipped just now */
void pace_snapshot(struct pace_seen seen[PACERS_MAX]);     /* hands over; nothing is fresh then */

/* Main side. */
void pace_learn(uint8_t pacer, uint16_t on_time);          /* what comes of it is offered to the store */
/* Rate that brings an arrive of so many ticks to its last tick just before the flasher clicks off. Unit: 1/4096 tick a frame. */
uint16_t pace_rate(uint8_t pacer, uint16_t age, uint16_t ticks);

#endif
#endif
