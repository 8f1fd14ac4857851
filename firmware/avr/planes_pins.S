/* planes_build for the pins: levels to port images.
 *
 * Six outputs share a port: after six of them the dealt bits stand in bits 2..7, which is right for PORTD; for PORTB they go
 * two places down.
 */
#define __SFR_OFFSET 0
#include <avr/io.h>
#include "board.h"
#include "tables.h"
#include "planes.inc"

#define OUTPUTS_A_PORT 6

.section .text.planes_build,"ax",@progbits
.global planes_build
/* r25:r24 level, r23:r22 dst, r18 halved. */
planes_build:
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    push r\r
  .endr
  movw r26, r24
  clt
  cpse r18, r1
  set
  rcall six_outputs
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    lsr r\r
    lsr r\r
  .endr
  movw r30, r22
  rcall store
  rcall six_outputs
  movw r30, r22
  adiw r30, 1
  rcall store
  .irp r, 17, 16, 15, 14, 13, 12, 11, 10, 9, 8, 7
    pop r\r
  .endr
  ret

six_outputs:
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    clr r\r
  .endr
  ldi r25, OUTPUTS_A_PORT
  deal_outputs
  ret

/* One port's images to Z, Z + PLANE_BYTES, ... */
store:
  .set at, 0
  .irp r, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17
    std Z + at, r\r
    .set at, at + PLANE_BYTES
  .endr
  ret
