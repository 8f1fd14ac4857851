/* Inputs: one asymmetric counting filter each. Interrupt side. */
#ifndef INPUTS_H
#define INPUTS_H
#include "core.h"

extern uint8_t inputs_on;        /* filtered inputs, bit 0 is in1 */
extern uint8_t inputs_counting;  /* inputs whose count is not 0 */

/* Takes polarity from the safe block; all inputs begin off. */
void inputs_start(void);

/* The bit of input n modulo INPUTS_MAX; input 0 is in1. */
uint8_t input_mask(uint8_t n);

/* One sample. Returns the inputs that flipped. */
uint8_t inputs_refresh(uint8_t in);

#endif
