/* planes_build for the chain: levels to plane bytes. Eight outputs, dealt output 0 first, give the eleven bytes of one register. */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "board.h"
#include "tables.h"
#include "planes.inc"

.section .text.planes_build,"ax",@progbits
.global planes_build
/* r25:r24 level, r23:r22 dst, r20 registers, r18 halved. */
planes_build:
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    push r\r
  .endr
  movw r26, r24
  clt
  cpse r18, r1
  set
next_register:
  ldi r25, 8
  deal_outputs

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
  breq 1f
  rjmp next_register
1:
  .irp r, 17, 16, 15, 14, 13, 12, 11, 10, 9, 8, 7
    pop r\r
  .endr
  ret
