/* Share: one wire that carries two functions, told apart by the share of time for which it is high. Interrupt side. */
#ifndef SHARE_H
#define SHARE_H
#include "core.h"

extern uint8_t share_rule;       /* 0: no shared wire; else the byte SAFE_SHARED of the safe block. Constant after the start */

void share_start(void);

/* One sample, polarity included. Returns it with the bit of the second function. Only with a share_rule. */
uint8_t share_refresh(uint8_t in);

#endif
