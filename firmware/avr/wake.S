/* The pin-change interrupt: it tells once that an input has changed, and switches itself off. */
#include <avr/io.h>

.section .text.wake,"ax",@progbits
.global PCINT1_vect
.global PCINT2_vect
PCINT1_vect:
PCINT2_vect:
  push r24
  ldi r24, 0
  sts PCICR, r24
  pop r24
  reti
