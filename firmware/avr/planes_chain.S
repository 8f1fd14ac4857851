/* planes_build for the chain: levels to plane bytes.
 *
 * A duty has 11 bits: bits 0..2 are sub0..sub2, bits 3..10 are P0..P7, which is the order of the planes in memory. So shifting
 * the duties of eight outputs out bit by bit, output 0 first, deals their bits into the eleven bytes of one register.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "board.h"

/* One bit of the duty half in \half to the byte that collects its plane. */
.macro deal half, regs:vararg
  .irp collector, \regs
    lsr \half
    ror r\collector
  .endr
.endm

.section .text.planes_build,"ax",@progbits
.global planes_build
/* r25:r24 level, r23:r22 dst, r20 registers. */
planes_build:
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    push r\r
  .endr
  movw r26, r24
next_register:
  ldi r25, 8
next_output:
  ld r30, X+
  ldi r31, 0
  lsl r30
  rol r31
  subi r30, lo8(-(duty_code))
  sbci r31, hi8(-(duty_code))
  lpm r18, Z+
  lpm r19, Z
  deal r18, 7, 8, 9, 10, 11, 12, 13, 14
  deal r19, 15, 16, 17
  dec r25
  brne next_output

  movw r30, r22
  .set at, 0
  .irp r, 7, 8, 9, 10, 11, 12, 13
    std Z + at, r\r
    .set at, at + PLANE_BYTES
  .endr
  subi r30, lo8(-(7 * PLANE_BYTES))
  sbci r31, hi8(-(7 * PLANE_BYTES))
  .set at, 0
  .irp r, 14, 15, 16, 17
    std Z + at, r\r
    .set at, at + PLANE_BYTES
  .endr
  subi r22, lo8(-1)
  sbci r23, hi8(-1)
  dec r20
  brne next_register
  .irp r, 17, 16, 15, 14, 13, 12, 11, 10, 9, 8, 7
    pop r\r
  .endr
  ret
