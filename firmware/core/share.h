/* Share: one wire that carries two functions, told apart by the share of time for which it is high. Interrupt side. */
#ifndef SHARE_H
#define SHARE_H

#define SHARE_OLDEST_BIT 3       /* in the third byte of the samples that are remembered: the one of 20 refreshes ago */
#define SHARE_ON         15      /* highs among the last 20 */
#define SHARE_OFF        10

#ifndef __ASSEMBLER__
#include "core.h"

extern uint8_t share_wire;       /* the input that the wire is read on, one bit; 0: no shared wire. Constant after the start */

void share_start(void);

/* One sample, polarity put right. Returns it with the bit of the second function. Only with a share_wire. */
uint8_t share_refresh(uint8_t raw);

#endif
#endif
