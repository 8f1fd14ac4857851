/* Where the processor begins, and where its interrupts lead. Linked first, at address 0, in place of the compiler's own: that has
 * places for 25 interrupts, and the core has three.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>

/* What the compiler asks for in a program with variables is done here; variables with a value of their own there are none. */
.global __do_clear_bss
.set __do_clear_bss, 0

.section .vectors,"ax",@progbits
.global __vectors
__vectors:
  rjmp start
.org PCINT1_vect_num * 4
  rjmp stirred
.org PCINT2_vect_num * 4
/* An input has changed: this tells it once, and switches itself off. It runs on over vectors that are never called. */
stirred:
  push r24
  ldi r24, 0
  sts PCICR, r24
  pop r24
  reti
.org TIMER1_COMPA_vect_num * 4
  jmp TIMER1_COMPA_vect

start:
  clr r1
  out SREG, r1
  ldi r28, lo8(RAMEND)
  ldi r29, hi8(RAMEND)
  out SPH, r29
  out SPL, r28
  ldi r26, lo8(__bss_start)
  ldi r27, hi8(__bss_start)
1:
  st X+, r1
  cpi r27, hi8(RAMEND + 1)
  brne 1b
  jmp main
