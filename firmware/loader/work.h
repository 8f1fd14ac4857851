/* What the loader remembers while it has the processor, and who does what with it.
 *
 * It lies on the stack, which begins anew at the top, and Y points at it throughout: loaded and stored in one word each. */
#ifndef LOADER_WORK_H
#define LOADER_WORK_H
#include <stdint.h>
#include "packet.h"
#include "safe.h"

#define SECONDS 3                /* wires with two functions that a safe block can name */

struct work {
	/* signals.c */
	uint8_t on;                  /* filtered inputs */
	uint8_t count_0, count_1;    /* of each input two bits, low and high: how often it was found changed, in a row */
	uint8_t looks;               /* modulo 256 */
	uint16_t looked;             /* when, by Timer1 */
	uint8_t wire[SECONDS];       /* input masks: while the wire is on, so is the second; 0: none */
	uint8_t second[SECONDS];
	/* run.c */
	uint8_t lost;                /* 1: the packet that was begun is dropped */
	uint8_t gap;                 /* looks since the last byte */
	uint16_t quiet;              /* looks since the last right packet */
	uint16_t crc;                /* of the packet that comes, or of the answer that goes */
	uint8_t safe[SAFE_BYTES];    /* the safe block in force */
	uint8_t payload[PACKET_MAX];
};

register struct work *work __asm__("r28");

/* Takes the safe block from the flash, through the core, and shows the signals. */
void signals_start(void);

/* Looks at the inputs and shows what they ask for, when the time has come. Gives 1 when it had. To be called twice in half a
 * millisecond, or oftener. */
uint8_t signals_when_due(void);

/* Makes up for a time in which the processor stood still: enough looks in short order for an input to count. */
void signals_catch_up(void);

#endif
