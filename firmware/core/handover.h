/* What the interrupt and the frame job give each other, once a frame: a snapshot one way, a published result the other.
 *
 * job_state says whose turn it is, so neither copies under a lock: the snapshot is the job's while the state is READY, and what
 * is to be published is the interrupt's while it is PUBLISHED. A job that is late costs a frame, never a torn one.
 */
#ifndef HANDOVER_H
#define HANDOVER_H
#include "core.h"
#include "link.h"
#include "pace.h"

enum job_state { IDLE, READY, PUBLISHED };

extern volatile uint8_t job_state;

/* Keeps the compiler from moving the frame job's reads and writes of what is handed over past job_state. */
#define HANDOVER_BARRIER() __asm__ volatile("" ::: "memory")

/* Written by the interrupt before READY. */
struct snapshot {
	uint8_t inputs;                  /* filtered */
	uint8_t stirred;                 /* not 0: an input is on, or is being counted, or a byte came over the serial line */
	uint8_t streamed;                /* 1: a streamed frame arrived whole */
	uint8_t code;                    /* the converter's: guard.h */
	struct pace_seen pace[PACERS_MAX];
	struct link_seen link;
};
extern struct snapshot snapshot;

/* Written by the frame job before PUBLISHED; takes effect all at once at the next frame's start. */
struct outcome {
	uint8_t force[REGISTERS_MAX];    /* outputs that a stop input forces on, bit o%8 of byte o/8 */
	uint8_t pull;                    /* 1: pull the link wire low */
	uint8_t live;                    /* 1: the image has been accepted */
};
extern struct outcome outcome;

/* The planes that are not shown: the frame job's to write while READY. */
uint8_t *hidden_planes(void);

void handover_start(void);

extern uint8_t frame;                    /* number of the frame job that is under way or next, modulo 256: nothing looks further */

#endif
